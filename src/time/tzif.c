/* Reads compiled zone data: TZif, RFC 9636 (which replaces RFC 8536). */
#include "time/calendar.h"
#include "time/zone_table.h"

#include <string.h>

/* Section 3.1: the header. Section 3.2: the data block, in this order:
 * transition times, transition types, local time types, designations, leap
 * seconds, standard/wall and UT/local indicators. From version 2 the file holds
 * a second header and block with 64-bit times, and a footer. */
enum { HEADER_LENGTH = 44, TYPE_LENGTH = 6, MOST_SECONDS_OFFSET = 26 * 3600 };

typedef struct tzif_block {
    size_t time_length; /* bytes of one transition time: 4 or 8 */
    size_t transitions, types, characters, leaps, standards, universals;
    const unsigned char *times, *indexes, *records, *designations;
    size_t length; /* of header and data together */
} tzif_block;

static uint32_t read_u32(const unsigned char *bytes)
{
    return (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 | (uint32_t)bytes[2] << 8 |
           (uint32_t)bytes[3];
}

static int64_t read_signed(const unsigned char *bytes, size_t length)
{
    uint64_t value = 0;
    for (size_t i = 0; i < length; i++)
        value = value << 8 | bytes[i];
    if (length == 4 && value >= UINT64_C(0x80000000))
        return (int64_t)value - INT64_C(0x100000000);
    int64_t result;
    memcpy(&result, &value, sizeof result);
    return result;
}

static bool read_block(tzif_block *block, const unsigned char *bytes, size_t left,
                       size_t time_length)
{
    if (left < HEADER_LENGTH || memcmp(bytes, "TZif", 4) != 0)
        return false;
    block->time_length = time_length;
    block->universals = read_u32(bytes + 20);
    block->standards = read_u32(bytes + 24);
    block->leaps = read_u32(bytes + 28);
    block->transitions = read_u32(bytes + 32);
    block->types = read_u32(bytes + 36);
    block->characters = read_u32(bytes + 40);
    /* Each count is below 2^32 and weighs at most 12 bytes: the sum fits. */
    uint64_t length = HEADER_LENGTH + (uint64_t)block->transitions * (time_length + 1) +
                      (uint64_t)block->types * TYPE_LENGTH + block->characters +
                      (uint64_t)block->leaps * (time_length + 4) + block->standards +
                      block->universals;
    if (length > left || block->types == 0 || block->characters == 0)
        return false;
    block->length = (size_t)length;
    block->times = bytes + HEADER_LENGTH;
    block->indexes = block->times + block->transitions * time_length;
    block->records = block->indexes + block->transitions;
    block->designations = block->records + block->types * TYPE_LENGTH;
    return block->designations[block->characters - 1] == '\0';
}

static bool add_type(bk_zone_table *table, const tzif_block *block, size_t type, int64_t seconds)
{
    if (type >= block->types)
        return false;
    const unsigned char *record = block->records + type * TYPE_LENGTH;
    int64_t offset = read_signed(record, 4);
    size_t designation = record[5];
    if (offset < -MOST_SECONDS_OFFSET || offset > MOST_SECONDS_OFFSET ||
        designation >= block->characters)
        return false;
    const char *abbreviation = (const char *)block->designations + designation;
    bk_zone_table_add(table, seconds, (int32_t)offset, bk_copy_string(table->arena, abbreviation));
    return true;
}

static int64_t year_start(int year)
{
    return bk_day_number(year, 1, 1) * BK_SECONDS_A_DAY;
}

bool bk_tzif_read(bk_zone_table *table, const unsigned char *bytes, size_t length)
{
    tzif_block block;
    if (!read_block(&block, bytes, length, 4))
        return false;
    bool has_footer = bytes[4] >= '2';
    if (has_footer) {
        bytes += block.length;
        length -= block.length;
        if (!read_block(&block, bytes, length, 8))
            return false;
    }
    if (block.leaps != 0)
        return false;

    int64_t first = year_start(BK_FIRST_YEAR - 1);
    int64_t last = year_start(BK_LAST_YEAR + 2);
    int64_t before = INT64_MIN;
    size_t type_at_first = 0; /* section 3.2: before the first transition, type 0 */
    size_t i = 0;
    for (; i < block.transitions; i++) {
        int64_t time = read_signed(block.times + i * block.time_length, block.time_length);
        if (i > 0 && time <= before)
            return false;
        before = time;
        if (time > first)
            break;
        type_at_first = block.indexes[i];
    }
    if (!add_type(table, &block, type_at_first, INT64_MIN))
        return false;
    for (; i < block.transitions; i++) {
        int64_t time = read_signed(block.times + i * block.time_length, block.time_length);
        if (time < before)
            return false;
        before = time;
        if (time < last && !add_type(table, &block, block.indexes[i], time))
            return false;
    }
    if (!has_footer)
        return true;

    /* Section 3.3: the footer, a POSIX TZ string between two newlines, rules
     * after the last transition. */
    const char *footer = (const char *)bytes + block.length;
    size_t left = length - block.length;
    if (left < 2 || footer[0] != '\n')
        return false;
    const char *end = memchr(footer + 1, '\n', left - 1);
    if (!end)
        return false;
    return bk_posix_rule_read(table, footer + 1, (size_t)(end - footer - 1), before,
                              BK_FIRST_YEAR - 1, BK_LAST_YEAR + 1);
}
