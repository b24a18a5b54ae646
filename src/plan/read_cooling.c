/* A passive time that is computed from what cools, and where. */
#include "plan/reader.h"

bool bk_read_cooling_stage(bk_reader *reader, size_t stage, bk_json *json)
{
    (void)stage;
    bk_problem(reader, "cooling", bk_json_key_place(json), "write \"passive\": \"4-6 h\"",
               "\"cooling\" cannot be computed yet");
    return false;
}
