/* Private to takein: what a stage says of the threads that the stages before it made.
 *
 *   speech.c      which of them it speaks of, and whether it joins one
 *   beginnings.c  whether it begins one
 *   labels.c      what a part is called
 *   threads.c     where it goes
 */
#ifndef BK_TAKEIN_SPEECH_H
#define BK_TAKEIN_SPEECH_H

#include "takein/weave.h"

enum { BK_MOST_THREADS = 24, BK_MOST_NAMES = 8, BK_MOST_TOLD = 48 };

typedef struct bk_thread {
    size_t last;
    bk_mask made_of;
    bk_products may_be, is; /* what its stages may have made; what its label says that they make */
    const char *names[BK_MOST_NAMES]; /* stems of its label */
    size_t name_count;
    const char *told[BK_MOST_TOLD]; /* stems of what its stages spoke of: "pudding" */
    size_t told_count;
    bool open;
    bool meanwhile;
    bool whipped;       /* whites, yolks or cream, beside what they go into */
    bool tools;         /* jars that are warmed, a saucer that is chilled */
    size_t beside;      /* thread that goes on at the same time, or SIZE_MAX */
    const char *vessel; /* what it was put into: "ramekins"; or NULL */
} bk_thread;

typedef struct bk_weave {
    bk_taken *taken;
    bk_mentions *found;
    const bk_food *all;
    bk_thread threads[BK_MOST_THREADS];
    size_t count, now; /* `now`: the thread of the stage before */
    bk_mask used;
} bk_weave;

/* What a stage says of the threads. */
typedef struct bk_speech {
    bk_mask fresh, old,
        strong; /* ingredients named first here; before; before and as what was made */
    bool of[BK_MOST_THREADS];   /* the threads whose ingredients or product it names */
    bool made[BK_MOST_THREADS]; /* of those, what it calls by what was made */
    size_t first;               /* thread that its first noun speaks of; SIZE_MAX: none */
    bool any_other;             /* one that is not the thread of the stage before */
    bool everything;            /* "everything", "assemble" */
    bool back;                  /* "it", "the mixture": what came before */
    bool done;                  /* "when the pork is done": of that, whatever came before */
    bool unknown;               /* "the meat", of which no thread is known */
    bool same_vessel;           /* "in the same pan", "the juices in the tin" */
} bk_speech;

/* What the words of stage i say of the threads. */
bk_speech bk_listen(const bk_weave *w, size_t i);

/* "into the purée", "over the sponge": something made before, and not the vessel nor what is
 * named for the first time. */
bool bk_joins_something(const bk_weave *w, const bk_taken_stage *stage, bk_mask named);

/* Does it add to what is there? */
bool bk_adds(const bk_taken_stage *stage);

/* "it", "the mixture" */
bool bk_back_refers(const bk_act *act, const bk_speech *heard);

/* "Cook with the sugar": what it is done to was named before. */
bool bk_elides_object(const bk_taken_stage *stage);

/* Begins something apart: names new ingredients only, and nothing that was made. */
bool bk_starts_apart(const bk_weave *w, size_t i, const bk_speech *says);

/* "Whisk the whites", "whip the rest of the cream": in a bowl of its own. */
bool bk_whips_apart(const bk_weave *w, const bk_taken_stage *stage, const bk_speech *says);

/* Is the thread so called by its label? */
bool bk_is_called(const bk_thread *one, const char *word);

/* The thread that an ingredient went into last, or SIZE_MAX. */
size_t bk_thread_of_food(const bk_weave *w, size_t food);

/* What a thing is put into and stays in, one word for one and several; or NULL. */
const char *bk_vessel_word(const bk_token *t);

/* A vessel, a tool or a place; has the stage this word; has the thread spoken of such a thing; is
 * it a word of the recipe's name? */
bool bk_is_vessel(const bk_token *t);
bool bk_stage_speaks_of(const bk_taken_stage *stage, const char *word);
bool bk_has_spoken_of(const bk_thread *one, const char *word);
bool bk_is_in_title(const bk_weave *w, const char *word);

/* ------------------------------------------------------------ labels.c */

typedef struct bk_label {
    const bk_token *t;
    size_t from, end;
} bk_label;

/* The label of a stage: of its sentence, else of its section where that begins. False where
 * there is none that names a part. */
bool bk_label_of(const bk_weave *w, size_t i, bk_label *found);
/* A label as it is written. */
const char *bk_label_words(const bk_weave *w, size_t i, const bk_label *of);
/* The thread that a label speaks of, or SIZE_MAX. */
size_t bk_thread_of_label(const bk_weave *w, const bk_label *of);
/* Adds the words of a label to what a thread is called. */
void bk_name_thread(bk_weave *w, bk_thread *into, const bk_token *t, size_t from, size_t end);

/* May a word say by itself which thread is meant, when one alone has spoken of it? And keeps
 * one that a thread spoke of. */
bool bk_tells_apart(const bk_token *t);
void bk_keep_told(bk_weave *w, bk_thread *into, const char *stem);

#endif
