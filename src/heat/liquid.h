/* A liquid that moves as it cools, or is stirred: one temperature throughout. */
#ifndef BK_HEAT_LIQUID_H
#define BK_HEAT_LIQUID_H

#include "heat/trial.h"

/* Like bk_trial_run. Stirred, its inside offers no resistance; left alone, it takes heat
 * to a wall as water does: Nu = 0.68 + 0.670 Ra^1/4 / (1 + (0.492/Pr)^9/16)^4/9 of its
 * depth, Ra up to 10^9, above that {0.825 + 0.387 Ra^1/6 / (1 + (0.492/Pr)^9/16)^8/27}^2
 * (Churchill and Chu, Int. J. Heat Mass Transfer 18, 1975). Its ice and setting fat count. */
void bk_liquid_run(const bk_heat_question *question, enum bk_heat_end end, double seconds,
                   bk_trial_watch *watch, void *context);

/* The coefficient between water at `celsius` and an upright wall of that height and
 * temperature, W/(m2 K). */
double bk_liquid_film(double celsius, double wall_c, double height);

#endif
