/* One file: given out. */
#include "page/request.h"

#include <stdlib.h>

/* The file's text, value and messages. */
static cJSON *file_json(bakeset *session, const char *path, const bk_file *file)
{
    struct bakeset_read_options alone = {.size = sizeof alone, .alone = 1};
    cJSON *all = cJSON_CreateObject();
    cJSON_AddStringToObject(all, "path", path);
    cJSON_AddStringToObject(all, "text", file->text);
    cJSON_AddStringToObject(all, "version", file->version.text);
    bk_add_value(all, session, path, file->text, file->length);
    bakeset_read_text(session, path, file->text, file->length, &alone);
    cJSON_AddItemToObject(all, "messages", bk_messages_json(session));
    return all;
}

void bk_route_file(bk_page *page, const bk_request *request, bk_answer *answer)
{
    bk_file file;
    enum bk_folder_result result = bk_folder_read(page->folder, request->file, &file);
    if (result != BK_FOLDER_OK) {
        bk_answer_folder(answer, result);
        return;
    }
    bakeset *session = bk_answer_session(answer);
    if (session)
        bk_answer_json(answer, 200, file_json(session, request->file, &file));
    bakeset_free(session);
    free(file.text);
}
