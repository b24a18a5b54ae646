/* A cooling estimate as text, JSON and a picture of its curve. */
#ifndef BK_WRITE_COOLING_H
#define BK_WRITE_COOLING_H

#include "heat/heat.h"
#include "write/words/words.h"

/* A question to the cooling estimate with its answer, which is without fault. */
typedef struct bk_cooled {
    const char *stage; /* "Torte/chill", or NULL: not of a plan */
    const char *food;  /* a name of the table, or NULL: a composition or material */
    const char *below; /* likewise what it is poured onto */
    double melts_c;    /* where that softens; NAN: not said */
    bk_heat_question question;
    bk_heat_answer answer;
} bk_cooled;

/* Times, a curve, what matters most, other tins, and cautions. */
void bk_write_cooling_text(const bk_cooled *cooled, const bk_text_style *style, bk_text *out);

/* docs/cooling.md describes it; one JSON object. */
void bk_write_cooling_json(const bk_cooled *cooled, bk_text *out);

/* The curve, a complete SVG document. */
void bk_write_cooling_svg(const bk_cooled *cooled, bk_text *out);

/* The foods known by name. */
void bk_write_foods(const bk_text_style *style, bk_text *out);

#endif
