#include "plan/cooling_keys.h"

#include <string.h>

/* In the order of what bk_cooling_put makes of them. */
const char *const bk_cooling_shapes[] = {"round", "slab", "ball", NULL};
const char *const bk_cooling_bases[] = {"open", "insulated", NULL};
const char *const bk_cooling_tins[] = {"metal", "glass", "ceramic", "none", NULL};
const char *const bk_cooling_covers[] = {"none", "film", "lid", "foil", NULL};
static const char *const answers[] = {"no", "yes", NULL};

static const char *const a_length = "write it as \"20 cm\", \"60 mm\" or \"8 in\"";

const bk_cooling_key bk_cooling_keys[] = {
    [BK_COOLING_SHAPE] = {"shape", BK_COOLING_WORD, BK_COOLING_MUST, bk_cooling_shapes,
                          "write \"round\", \"slab\" or \"ball\""},
    [BK_COOLING_ACROSS] = {"across", BK_COOLING_LENGTH, BK_COOLING_BUT_SLAB, NULL, a_length},
    [BK_COOLING_DEEP] = {"deep", BK_COOLING_LENGTH, BK_COOLING_BUT_BALL, NULL, a_length},
    [BK_COOLING_FROM] = {"from", BK_COOLING_TEMPERATURE, BK_COOLING_MUST, NULL,
                         "write where it starts, such as \"15 C\""},
    [BK_COOLING_TO] = {"to", BK_COOLING_TEMPERATURE, BK_COOLING_MUST, NULL,
                       "write where it is to get, such as \"6 C\""},
    [BK_COOLING_BASE] = {"base", BK_COOLING_WORD, BK_COOLING_MAY, bk_cooling_bases, NULL},
    [BK_COOLING_TIN] = {"tin", BK_COOLING_WORD, BK_COOLING_MAY, bk_cooling_tins, NULL},
    [BK_COOLING_COVER] = {"cover", BK_COOLING_WORD, BK_COOLING_MAY, bk_cooling_covers, NULL},
    [BK_COOLING_STIRRED] = {"stirred", BK_COOLING_WORD, BK_COOLING_MAY, answers, NULL},
    [BK_COOLING_FOOD] = {"food", BK_COOLING_STUFF, BK_COOLING_MUST, NULL,
                         "write a name such as \"custard\", or give its composition"},
    [BK_COOLING_ONTO] = {"onto", BK_COOLING_STUFF, BK_COOLING_MUST, NULL,
                         "write what it is poured onto, such as \"cheesecake\""},
    [BK_COOLING_ONTO_DEEP] = {"onto-deep", BK_COOLING_LENGTH, BK_COOLING_MUST, NULL,
                              "write how deep it is, such as \"4 cm\""},
    [BK_COOLING_ONTO_FROM] = {"onto-from", BK_COOLING_TEMPERATURE, BK_COOLING_MUST, NULL,
                              "write how cold it is, such as \"5 C\""},
    [BK_COOLING_MELTS] = {"melts", BK_COOLING_TEMPERATURE, BK_COOLING_MAY, NULL, NULL},
    [BK_COOLING_KEYS] = {NULL, BK_COOLING_WORD, BK_COOLING_MAY, NULL, NULL},
};

const char *const bk_cooling_parts[] = {"water", "protein", "fat",      "carbohydrate", "fibre",
                                        "ash",   "air",     "milk fat", "pores",        NULL};

bool bk_cooling_needs(size_t key, enum bk_heat_shape shape)
{
    switch (bk_cooling_keys[key].need) {
    case BK_COOLING_MAY:
        return false;
    case BK_COOLING_MUST:
        return true;
    case BK_COOLING_BUT_SLAB:
        return shape != BK_HEAT_SLAB;
    case BK_COOLING_BUT_BALL:
        break;
    }
    return shape != BK_HEAT_BALL;
}

void bk_cooling_put(bk_heat_question *q, size_t key, double value)
{
    static const enum bk_heat_tin tin_of[] = {BK_HEAT_TIN_METAL, BK_HEAT_TIN_GLASS,
                                              BK_HEAT_TIN_CERAMIC, BK_HEAT_TIN_NONE};
    int word = (int)value;
    switch (key) {
    case BK_COOLING_SHAPE:
        q->shape = (enum bk_heat_shape)word;
        break;
    case BK_COOLING_ACROSS:
        q->across = value;
        break;
    case BK_COOLING_DEEP:
        q->deep = value;
        break;
    case BK_COOLING_FROM:
        q->from_c = value;
        break;
    case BK_COOLING_TO:
        q->to_c = value;
        break;
    case BK_COOLING_BASE:
        q->base_insulated = word == 1;
        break;
    case BK_COOLING_TIN:
        q->tin = tin_of[word];
        break;
    case BK_COOLING_COVER:
        q->cover = (enum bk_heat_cover)word;
        break;
    case BK_COOLING_STIRRED:
        q->stirred = word == 1;
        break;
    case BK_COOLING_ONTO_DEEP:
        q->below.deep = value;
        break;
    case BK_COOLING_ONTO_FROM:
        q->below.from_c = value;
        break;
    default:
        break;
    }
}

double *bk_cooling_part(bk_composition *c, size_t part)
{
    double *const parts[] = {&c->water, &c->protein, &c->fat,      &c->carbohydrate, &c->fibre,
                             &c->ash,   &c->air,     &c->milk_fat, &c->pores};
    return parts[part];
}

/* A room's air: common practice, no source. Ice melts; tap water has to be said. */
const bk_cooling_place *bk_cooling_place_find(const char *name)
{
    static const bk_cooling_place places[] = {{"room", BK_HEAT_ROOM, 20.0},
                                              {"water bath", BK_HEAT_WATER_BATH, NAN},
                                              {"ice bath", BK_HEAT_ICE_BATH, 0.0}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        if (strcmp(places[i].name, name) == 0)
            return &places[i];
    return NULL;
}

bk_heat_question bk_cooling_default(void)
{
    return (bk_heat_question){
        .across = INFINITY, .from_c = NAN, .to_c = NAN, .tin = BK_HEAT_TIN_METAL};
}
