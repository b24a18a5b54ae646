/* The keys of a plan file: what each object may say. Reading, the schemas in docs and the tables
 * of docs/plan-format.md are all made from these tables (tests/schema), so that they say the
 * same. A new key is one line here, and `make schema`. */
#ifndef BK_PLAN_KEYS_H
#define BK_PLAN_KEYS_H

typedef struct bk_key {
    const char *name;
    const char *form; /* what its value is: an entry of tests/schema/forms.json, or an object of
                         bk_objects; NULL: one of `words`; "several": one of them, or a list */
    const char *const *words;
    const char *meaning;   /* one line, as the page has it */
    const char *otherwise; /* what holds without it; "required"; NULL: nothing to say */
} bk_key;

/* Each ends with a key without name. A key whose name begins with $ is for programs that show
 * the file: it is read over, and no message proposes it. */
extern const bk_key bk_plan_keys[], bk_kitchen_keys[], bk_cook_keys[], bk_period_keys[],
    bk_hours_keys[], bk_oven_keys[], bk_hob_keys[], bk_cold_keys[], bk_tool_keys[], bk_dish_keys[],
    bk_ingredient_keys[], bk_batches_keys[], bk_stage_keys[], bk_when_keys[], bk_link_keys[],
    bk_oven_use_keys[], bk_hold_keys[], bk_check_keys_of_stage[], bk_cooling_value_keys[],
    bk_composition_keys[], bk_stop_keys[], bk_onto_keys[], bk_tin_keys[];

/* All of them under the names that `form` has for them; ends with a NULL name. */
typedef struct bk_object {
    const char *name;
    const bk_key *keys;
    const char *reference; /* the key that names a file in place of what is required, or NULL */
} bk_object;

extern const bk_object bk_objects[];

/* The words of keys that take one of a few. NULL at the end. */
extern const char *const bk_tin_shapes[],
    *const bk_range_ends[], *const bk_styles[], *const bk_rule_words[],
                                                    *const bk_kind_words[],
                                                        *const bk_air_words[],
                                                            *const bk_begin_words[],
                                                                *const bk_link_ends[];

#endif
