/* Private to takein: a recipe on its way from bytes to a draft.
 *
 *   bytes -> UTF-8 (encoding.c) -> recipe (page.c, structured.c, notes.c, lists.c)
 *         -> tokens (tokens.c) -> acts (sentences.c, acts.c, order.c, jottings.c, with
 *            times.c, heat.c, words.c, places.c) -> stages (steps.c, stages.c, oven.c,
 *            announcements.c)
 *         -> links and ingredients (mentions.c, products.c, speech.c, beginnings.c, labels.c,
 * threads.c, haste.c, spoils.c)
 *         -> draft (usual.c, timing.c, draft.c)
 */
#ifndef BK_TAKEIN_PARTS_H
#define BK_TAKEIN_PARTS_H

#include "takein/takein.h"

/* Limits beyond which nobody cooks: they bound time and memory. */
enum {
    BK_MOST_STEPS = 400,
    BK_MOST_STEP_BYTES = 6000,
    BK_MOST_TAKEN_INGREDIENTS = 128,
    BK_MOST_TAKEN_STAGES = 600
};

/* ------------------------------------------------------------- what is found */

/* Text that is gathered into room set aside beforehand, so that what libraries have
 * allocated can be freed before the arena is asked for more. Each piece is a letter, its
 * text with white space made one space, and a newline. */
typedef struct bk_sink {
    char *data;
    size_t length, room;
    char *scratch; /* for the text that is being read */
    size_t scratch_room;
} bk_sink;

enum bk_piece {
    BK_PIECE_TITLE = 'T',
    BK_PIECE_YIELD = 'Y',
    BK_PIECE_INGREDIENT = 'I',
    BK_PIECE_HEADING = 'H', /* of a section of the instructions */
    BK_PIECE_STEP = 'S',
    BK_PIECE_NOTE = 'N', /* a tip, kept as a note */
    BK_PIECE_LINE = 'L'  /* a line of a text in which all of this has yet to be found */
};

/* Adds a piece; one that is empty or has no room left is dropped. */
void bk_sink_add(bk_sink *sink, enum bk_piece piece, const char *text, size_t length);

/* Adds each line of a text, markup stripped, as a piece of its own. */
void bk_sink_add_lines(bk_sink *sink, enum bk_piece piece, const char *text);

/* The text as UTF-8, in the arena; line breaks are "\n". (encoding.c) */
char *bk_to_utf8(bk_arena *arena, const char *text, size_t length, size_t *utf8_length);

/* Pieces of the recipe in schema.org JSON; false when there is none with steps. (structured.c) */
bool bk_structured_read(const char *json, size_t length, bk_sink *sink);

/* Pieces of the recipe in a page: JSON-LD, else microdata, else its visible lines. False
 * when the page cannot be parsed for want of memory. (page.c) */
bool bk_page_read(const char *html, size_t length, bk_sink *sink);

typedef struct bk_step {
    const char *text;
    const char *heading; /* of its section, or NULL */
} bk_step;

typedef struct bk_taken_recipe {
    const char *title, *yield; /* or NULL */
    const char **ingredients;
    size_t ingredient_count, ingredient_room;
    size_t ingredient_step[BK_MOST_TAKEN_INGREDIENTS]; /* told in or before this step; SIZE_MAX: in
                                                          a list */
    bk_step *steps;
    size_t step_count, step_room;
    const char **notes;
    size_t note_count, note_room;
} bk_taken_recipe;

/* The text, or as much of it as has so many bytes, whole letters. (takein.c) */
const char *bk_cut(bk_arena *arena, const char *text, size_t most);

/* Adds one; `step`: the step that tells it, or SIZE_MAX. (takein.c) */
void bk_ingredient_add(bk_arena *arena, bk_taken_recipe *recipe, const char *text, size_t step);

/* Adds those that only the steps name. (told.c) */
void bk_told_ingredients(bk_arena *arena, bk_taken_recipe *recipe);

/* Sorts the lines of a text into title, ingredients and steps. (notes.c) */
void bk_notes_read(bk_arena *arena, char *const *lines, size_t count, bk_taken_recipe *recipe);

/* ------------------------------------------------------------------- tokens */

enum bk_token_kind { BK_TOKEN_WORD, BK_TOKEN_NUMBER, BK_TOKEN_SIGN, BK_TOKEN_END };

typedef struct bk_token {
    enum bk_token_kind kind;
    uint32_t from, to;  /* bytes of the text */
    const char *word;   /* small letters; of a sign the sign, dashes all "-" */
    int64_t millionths; /* NUMBER */
    bool spaced;        /* white space before it */
    bool capital;       /* begins with a capital letter */
} bk_token;

/* The tokens of a text, behind the last one of kind END; *count without that one. */
bk_token *bk_tokens(bk_arena *arena, const char *text, size_t *count);

/* Is the token this word? Also true of signs. */
bool bk_is(const bk_token *token, const char *word);

/* Is the token one of these words, written with a space before and behind each? */
bool bk_among(const bk_token *token, const char *words);

/* A word without its plural ending, for comparing: "cherries" and "cherry" alike. */
void bk_stem(const char *word, char *into, size_t room);

/* -------------------------------------------------------------------- times */

typedef struct bk_spell {
    int64_t least, most; /* seconds */
    bool found;
    bool at_least;           /* may be longer */
    bool overnight;          /* "or overnight" */
    bool unit_guessed;       /* "simmer 10" */
    int64_t times;           /* that it is done, when more than once: `least` is the sum */
    bool by_weight;          /* not found, but "20 minutes per kilo plus 20 minutes": for each... */
    int64_t per_grams, plus; /* ...so many grams, and so many seconds more in all */
    uint32_t from, to;       /* bytes of the words */
} bk_spell;

/* Reads a time that begins at token `at`; gives the token behind it, or `at` when there
 * is none. */
size_t bk_spell_read(const bk_token *tokens, size_t at, size_t end, bk_spell *spell);

/* The time that an act between two tokens takes: the first that is neither an interval
 * ("every 10 minutes") nor a moment ("after 10 minutes"). */
bk_spell bk_spell_find(const bk_token *tokens, size_t from, size_t end);

/* "three times", "4 times", "twice": how often; 0: the words don't say. */
int64_t bk_times_over(const bk_token *tokens, size_t from, size_t end);

/* Of a unit of weight, to the nearest; 0: it is none. */
int64_t bk_unit_grams(const bk_token *token);

/* "three", "twelve"; 0: none. */
int64_t bk_number_word(const bk_token *token);

/* "in two goes, 8 min a go", behind a time whose words end at `behind`: the token behind that. */
size_t bk_read_in_batches(const bk_token *tokens, size_t at, size_t behind, size_t end,
                          bk_spell *spell);

/* Minutes written without their unit, in notes: "simmer 10", behind the verb at `from`. */
bk_spell bk_spell_guess(const bk_token *tokens, size_t from, size_t end);

/* "0930 Pork in", "9.30 am: ...": the token behind the time of day that a line begins with, or 0.
 */
size_t bk_behind_clock(const bk_token *tokens, size_t count);

/* As the plan format writes it: "12-15 min", "1 h 30 min - 2 h". */
const char *bk_spell_words(bk_arena *arena, const bk_spell *spell);

/* ------------------------------------------------------------ temperatures */

typedef struct bk_setting {
    const char *at; /* "180 C", "160 C fan", "350 F", "gas 4"; NULL: none */
    bool in_words;  /* "a moderate oven": no number is written */
    bool unit_guessed;
    uint32_t from, to;
    size_t behind; /* the token behind it */
} bk_setting;

/* The first oven temperature between two tokens. */
bk_setting bk_setting_find(bk_arena *arena, const bk_token *tokens, size_t from, size_t end);

/* -------------------------------------------------------------------- words */

enum bk_group {
    BK_PREP, /* with knife and board, by hand */
    BK_MIX,  /* in a bowl */
    BK_POUR, /* into what it stays in */
    BK_HEAT, /* on the hob, by hand */
    BK_STRAIN,
    BK_MACHINE,
    BK_LIGHT, /* a move of the hand that belongs to what comes next: add, cover, put */
    BK_LET,   /* let, leave: the deed is named by another word */
    BK_BAKE,
    BK_SIMMER,
    BK_COLD,
    BK_REST,
    BK_NO_ACT, /* no stage: preheat, serve, season */
    BK_UNKNOWN
};

enum bk_where {
    BK_IN_OVEN = 1,
    BK_IN_FRIDGE = 2,
    BK_IN_FREEZER = 4,
    BK_ON_HOB = 8,
    BK_IN_TIN = 16,
    BK_IN_MIXER = 32,
    BK_IN_BLENDER = 64,
    BK_IN_GRILL = 128,
    BK_IN_MICROWAVE = 256,
    BK_IN_SLOW_COOKER = 512,
    BK_IN_MACHINE = 1024,
    BK_IN_COOL_PLACE = 2048
};

typedef struct bk_verb {
    const char *word;
    enum bk_group group;
    bool passive;   /* by itself, unless the words say otherwise */
    unsigned where; /* of bk_where */
} bk_verb;

/* The verb in its imperative form, or NULL. */
const bk_verb *bk_verb_find(const char *word);

/* The verb of another form: "baking", "baked", "bakes"; or NULL. */
const bk_verb *bk_verb_of_form(const char *word);

/* Where the words between two tokens say that it is, of bk_where. (places.c) */
unsigned bk_places_named(const bk_token *tokens, size_t from, size_t end);

/* --------------------------------------------------------------------- acts */

/* One thing done: a verb and what belongs to it. */
typedef struct bk_act {
    const bk_verb *verb; /* NULL: no verb (notes in a notebook) */
    enum bk_group group;
    size_t from, end;             /* tokens */
    size_t verb_at;               /* its verb */
    size_t label_from, label_end; /* "syrup: ..."; equal: none */
    bool passive;
    const char *why; /* it is active or passive */
    unsigned where;
    bk_spell spell;
    bk_spell rate; /* where no other time is told: by weight */
    bk_setting setting;
    bool same_setting; /* the setting was said in another place */
    bool at_once;      /* directly after what came before */
    bool meanwhile;    /* while something else goes on by itself */
    bool lent;         /* `meanwhile` was said of what became no stage: "meanwhile line a tray" */
    bool sentence;     /* first of its sentence */
    bool parts_baking; /* bakes on at another heat */
    bool out_of_tin;
    bool back_refers; /* "it", "the mixture": what came before */
    bool joins;       /* "into the", "over the": what was made apart */
    bool apart;       /* "for the sauce", "in another pan" */
    bool mixes_in;    /* "stir in the milk" */
    bool beside_next; /* "... while you make the sauce": what follows goes on beside it */
    bool hot_work;    /* done hot, and not in haste */
    bool still_hot;   /* "while it is still warm" */
} bk_act;

/* How soon "at once" is, and why it is later than soon. */
enum bk_leeway_why {
    BK_LEEWAY_SOON,
    BK_LEEWAY_OVEN, /* the oven changes its heat */
    BK_LEEWAY_HANDS /* one pair of hands has more to do at once */
};

typedef struct bk_leeway {
    int64_t minutes;
    enum bk_leeway_why why;
} bk_leeway;

/* Minutes. */
typedef struct bk_usual {
    int64_t least, most;
} bk_usual;

typedef struct bk_taken_stage {
    const char *id;
    const char *text; /* the words, one line */
    size_t step;
    const bk_token *tokens; /* of the step */
    bk_act act;
    bk_usual usual;         /* what it would take if the words did not say */
    int64_t grams;          /* for so many, where the words tell it by weight; 0: unknown */
    const char *time_words; /* the time's, where another step than its own says it; or NULL */
    const char *oven;       /* temperature, or NULL */
    const char *oven_words; /* where it was said */
    bool oven_in_words;     /* "a moderate oven" */
    const char *note;
    uint64_t mentions[2]; /* ingredients, a bit each: set by bk_threads_tie */
    size_t after[8];
    bool within[8];
    bk_leeway leeway[8]; /* of those that are within */
    size_t after_count;
    size_t asked;             /* the one of `after` that the words ask haste of; SIZE_MAX: none */
    const char *part;         /* the label of the part that begins here, or NULL */
    bool tool;                /* jars or plates are made ready */
    bool tin_here;            /* what it is in a tin */
    bool foam;                /* it has whisked whites in it, which fall */
    bool has_raiser, has_wet; /* flour with a raising agent; what wets it */
    bool wont_wait;           /* the words say so of what it makes */
} bk_taken_stage;

/* What became no stage, word for word. */
typedef struct bk_left {
    const char *words;
    size_t before; /* stages before it */
} bk_left;

typedef struct bk_taken {
    bk_arena *arena;
    const bk_taken_recipe *recipe;
    bk_taken_stage *stages;
    size_t count, room;
    bk_left *left;
    size_t left_count, left_room;
    size_t ingredient_stage[BK_MOST_TAKEN_INGREDIENTS]; /* SIZE_MAX: none */
    bool raised; /* by what works once it is wet: asked once, by bk_threads_tie */
} bk_taken;

/* The acts of all steps, put together into stages. (stages.c) */
void bk_stages_find(bk_taken *taken);

/* What comes after what, and which stage uses an ingredient first. (threads.c) */
void bk_threads_tie(bk_taken *taken);

/* Sets what each stage usually takes, behind bk_threads_tie. (usual.c) */
void bk_usual_find(bk_taken *taken);

/* The heat that is planned. (timing.c) */
const char *bk_oven_of(const bk_taken_stage *stage);

/* Sets the leeway of every link that is within, so wide that one cook with one oven can keep them
 * all. (timing.c) */
void bk_leeways_find(bk_taken *taken);

/* (draft.c) */
void bk_draft_write(const bk_taken *taken, const char *name, bk_text *out);

#endif
