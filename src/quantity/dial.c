/* The numbers of an oven's dial. */
#include "quantity/quantity.h"

#include <math.h>

static const double SAME = 1e-6;

static double shown(bk_dial dial, double celsius)
{
    double fan = dial.fan ? celsius - BK_FAN_DIFFERENCE : celsius;
    return dial.fahrenheit ? fan * 1.8 + 32.0 : fan;
}

static double celsius_of(bk_dial dial, double number)
{
    double celsius = dial.fahrenheit ? (number - 32.0) / 1.8 : number;
    return dial.fan ? celsius + BK_FAN_DIFFERENCE : celsius;
}

/* The roundest numbers between two come in steps of 10 (25 degrees Fahrenheit), of 5,
 * or of 1, whichever is the first to have one; 0 where not even that has. */
static double step_between(bk_dial dial, double low, double high)
{
    const double steps[] = {dial.fahrenheit ? 25.0 : 10.0, 5.0, 1.0};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (ceil((low - SAME) / steps[i]) * steps[i] <= high + SAME)
            return steps[i];
    return 0.0;
}

double bk_dial_nearest(bk_dial dial, double low, double high, double wanted)
{
    double from = shown(dial, low), to = shown(dial, high), near = shown(dial, wanted);
    double step = step_between(dial, from, to);
    near = near < from ? from : near > to ? to : near;
    if (step == 0.0)
        return celsius_of(dial, near);
    /* The lower of two as near: what is a little underdone can go back in. */
    double number = ceil((near - SAME) / step - 0.5) * step;
    if (number < from - SAME)
        number += step;
    else if (number > to + SAME)
        number -= step;
    return celsius_of(dial, number);
}

double bk_dial_wanted(bk_dial dial, const bk_temperature *at)
{
    double number = shown(dial, at->nominal);
    /* 350 F is 314 on a fan dial, which has no such number; 180 C is 160. */
    double step = dial.fan && dial.fahrenheit ? 5.0 : 1.0;
    if (at->exact && at->fahrenheit == dial.fahrenheit &&
        fabs(number / step - round(number / step)) < SAME)
        return at->nominal;
    return bk_dial_nearest(dial, at->low, at->high, at->nominal);
}
