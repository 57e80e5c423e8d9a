/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LAWS_H
#define PRESOLDER_LAWS_H

#include "device.h"

/* The laws of all devices and their constants. Parts fill the constants and hand them to the
 * circuit. */

/* What cold figures of parts are of: 25 C [K]. */
#define LAWS_ROOM 298.15

/* A heater of one or two sections in one cathode, or the bare filament of a directly heated tube.
 * States: the wire temperature of every section [K], then the cathode's, when there is one. Ports
 * (one a section) carry v (1/R(T) - 1/R0) beside a base resistance R0 = its rated hot resistance.
 *   R(T) = R0 (T/T0)^1.2   tungsten within 5 %, 300 to 3000 K: Jones & Langmuir, General Electric
 *                          Review 30, 1927
 *   wire:    heat dT/dt = v^2/R - watts radiated to cathode or surroundings, as T^4 - T_other^4
 *   cathode: heat dTc/dt = sum of watts received - watts (Tc^4 - Ta^4)/(Tc0^4 - Ta^4)
 * All per tube; `parallel` equal tubes share the port. */
struct heater_law {
    int sections;
    int has_cathode;
    double parallel;
    double resistance[2];  /* R0, hot [ohm] */
    double watts[2];       /* rated [W] */
    double wire_kelvin;    /* T0 of the wire [K] */
    double cathode_kelvin; /* rated cathode temperature [K] */
    double ambient;        /* [K] */
    double wire_heat[2];   /* heat capacity [J/K] */
    double cathode_heat;   /* [J/K] */
};
extern const struct device_law law_heater;

/* Vacuum diode, one plate: the 3/2 law limited by saturation emission (Child 1911, Langmuir 1913;
 * Richardson-Dushman):
 *   i = j (1 + (j/Is)^4)^(-1/4),  j = K p(T) v^(3/2).
 * Foreign state 0: the cathode; without one it counts as hot and its emission as unlimited. */
struct diode_law {
    double perveance; /* K [A/V^1.5] */
    double emission;  /* Is at rated temperature [A] */
    int heated;       /* has a foreign state */
};
extern const struct device_law law_diode;

enum load_kind { LOAD_TUBES, LOAD_CURRENT, LOAD_RESISTANCE, LOAD_OUTPUT };

/* What the set draws: amperes at volts, as the 3/2 law, constant current, or resistance; times the
 * mean share of its tubes' cathodes (foreign states; none: drawn from the first instant). Below the
 * stated volts' hundredth the 3/2 law bends into a cubic; a constant current is I s (2 - s), s =
 * v/v1 held to 0..1, v1 = 1 % of the stated volts or 1 V. */
struct load_law {
    enum load_kind kind;
    double amperes, volts;
    int tubes;                     /* foreign states */
    double weight[DEVICE_FOREIGN]; /* share of the current at rated temperature; sum 1 */
};
extern const struct device_law law_load;

/* An output stage: the cathode gives i = G u^(3/2), u = vg + v/mu: the diode equivalent to the tube
 * (Child-Langmuir law; H. J. Reich, Theory and Applications of Electron Tubes, 1939, from memory),
 * v from screen (or a triode's plate) to cathode, mu the amplification factor of the first grid
 * over that electrode. Port 0 is the plate, port 1 the screen, each a fixed share of i; both see v,
 * for no more than the output transformer's copper lies between them. The bias resistor Rk is an
 * element of its own behind the cathode, so that vk = Rk i. The grid sees through R_t the volts
 * vb + tau (v + vk), told against the far end of Rk, where tau (v + vk) is what a leak brings from
 * the plate before, which follows the supply; above the cathode it draws G vg^(3/2) (estimate: a
 * grid near its cathode gathers about as well as the tube does; behind megohms ten times as much
 * or as little moves it by tenths of a volt), which adds nothing worth counting to vk. So u solves
 *   vg + R_t G vg+^(3/2) + Rk (1 - tau) G u^(3/2) = vb + tau v,  vg = u - v/mu.
 * Powers begin softly: x^2 (x + soft)^(-1/2) stands for x^(3/2). G is times the mean share of the
 * cathodes as in load_law. */
struct output_law {
    double perveance; /* G [A/V^1.5] */
    double factor;    /* mu */
    double share[2];  /* of plate and screen; sum 1; a triode's second is 0: one port */
    double cathode;   /* Rk [ohm] */
    double bias;      /* vb [V] */
    double leak;      /* tau, 0..1 */
    double grid;      /* R_t [ohm] */
    double soft;      /* [V] */
    int tubes;        /* foreign states; 0: hot from the first instant */
    double weight[DEVICE_FOREIGN]; /* sum 1 */
};
extern const struct device_law law_output;

/* G u^(3/2) as law_output has it [A], u [V]. */
double output_current(double perveance, double u, double soft);

/* One body of resistances that warms by its own watts (a coil; a winding with all its pieces): port
 * k carries v (1/R(T) - 1/R0) beside R0 = resistance[k], R = R0 (1 + coefficient (T - reference)).
 * State: T, of `body`. Foreign states: the temperatures its links lead to. */
struct warm_law {
    int ports;                       /* 1..DEVICE_PORTS */
    double resistance[DEVICE_PORTS]; /* R0 at reference [ohm] */
    double coefficient; /* [1/K] at reference; kind_copper_coefficient of kinds.h for copper */
    double reference;   /* [K] */
    struct thermal_body body;
};
extern const struct device_law law_warm;

/* Filament of a lamp: port v (1/R(T) - 1/R0) beside R0 = its hot resistance; with tungsten's
 * properties (tungsten.h)
 *   R(T) = R0 rho(T)/rho0,
 *   mass heat(T) dT/dt = v^2/R - area (radiance(T) - radiance(Ta)) - gas (T - Ta).
 * State: T. */
struct lamp_law {
    double resistance;  /* R0, at rated volts [ohm] */
    double resistivity; /* rho0, there [ohm m] */
    double area;        /* as if radiating freely [m^2] */
    double gas;         /* watts carried off by the filling, per kelvin [W/K] */
    double mass;        /* [kg] */
    double ambient;     /* [K] */
};
extern const struct device_law law_lamp;

/* Inrush thermistor, or a wire in gas: port v (1/R(T) - 1/R0) beside R0 = R at Tr = LAWS_ROOM;
 *   R = R0 exp(B (1/T - 1/Tr)) (T/Tr)^rise,
 *   heat dT/dt = v^2/R - loss (T - Ta)^power:
 * carried off by free convection and radiation, power about 5/4 (W. H. McAdams, Heat Transmission,
 * 1954). State: T. */
struct thermistor_law {
    double resistance; /* R0 [ohm] */
    double b;          /* B [K]; of a wire 0 */
    double loss;       /* [W/K^power] */
    double power;      /* 1..2 */
    double heat;       /* [J/K] */
    double ambient;    /* [K] */
    double rise;       /* of a thermistor 0 */
};

/* Fills loss, power (held to 1..2) and heat: `watts` keep it `over` K over 25 deg C, `less` watts
 * `under` K; without current it cools from `over` to 1/e of that in `seconds`. Returns the power
 * before it was held. */
double thermistor_cooling(struct thermistor_law *law, double watts, double over, double less,
                          double under, double seconds);

extern const struct device_law law_thermistor;

/* Fuse: the element, and the body that it warms (end caps, core, glass). Port v (1/R(T) - 1/R0)
 * beside R0 = resistance at the melting point, above which R is held;
 *   R = cold (1 + coefficient (T - LAWS_ROOM)),
 *   heat dT/dt = v^2/R - to_body (T - Tb),
 *   body_heat dTb/dt = to_body (T - Tb) - to_room (Tb - Ta).
 * What melts it at once is heat; what it carries for ever, both conductances. States: T, Tb. */
struct fuse_law {
    double cold;             /* [ohm] at LAWS_ROOM */
    double coefficient;      /* [1/K] */
    double melts;            /* [K] */
    double heat, body_heat;  /* [J/K] */
    double to_body, to_room; /* [W/K] */
    double ambient;          /* [K] */
};
extern const struct device_law law_fuse;

/* Iron core. State: flux linkage x seen from the primary [V s], its rate the port's volts; the
 * current is x/Lm below saturation and, beyond the knee, grows as the excess over Lair:
 *   i = x/Lm + (S(x - xs) - S(-x - xs))/Lair,  S(a) = (a + sqrt(a^2 + b^2))/2, b = 4 % of xs.
 * With a heat capacity in `body` a second state, its temperature: it takes v^2 times `loss`. */
struct core_law {
    double magnetising; /* Lm [H] */
    double air;         /* Lair [H] */
    double saturation;  /* xs [V s] */
    double loss;        /* [S] */
    struct thermal_body body;
};
extern const struct device_law law_core;

/* A coil whose inductance falls with its current, as that of iron with a gap does: i = x/L0 (1 +
 * |x/xs|^(n-1)), L = dx/di = L0/(1 + n |x/xs|^(n-1)), n odd. A fit to what is known of chokes: with
 * n = 3 and half as much again at no current as at the rated one, 1.5 times that current leave 0.79
 * of the rated inductance, twice 0.65 (common lists: 1.3 to 2 times, and 0.6 to 0.8 at 150 %, from
 * memory). State: flux linkage x [V s], rate = port volts. */
struct coil_law {
    double inductance; /* L0 [H] */
    double knee;       /* xs [V s] */
    double power;      /* n */
};
extern const struct device_law law_coil;
#define COIL_POWER 3.0
#define COIL_STEEPEST 15.0

/* The flux at which it carries so much [V s]. */
double coil_flux(const struct coil_law *law, double amperes);

/* Sets the knee so that, with the inductance and power given, the coil has `henries` at `amperes`;
 * henries below the inductance. */
void coil_fit_one(struct coil_law *law, double henries, double amperes);

/* All three from two points, the first at the smaller current (0 A: without current) and with the
 * larger inductance. The least power that meets both is taken; false: none does, as where the flux
 * would hardly grow from the first to the second. */
bool coil_fit_two(struct coil_law *law, const double henries[2], const double amperes[2]);

/* The can of one capacitor, or of several sections that share it: one body, heated by all their
 * losses. State: T.
 *   heat dT/dt = sum of watts at the ports - (T - ambient)/thermal_resistance
 * A port stands beside a resistance of `siemens` in the network. With growth 0 it only watches (a
 * series resistance: v^2 siemens, no current). Else it stands across the plates and carries
 * v (G(T) - siemens), G = siemens exp(growth (T - reference)), so v^2 G is heat; and so is what
 * conducts there above a knee's volts: v (v - volts)/ohms. The exponent ends at e^6, where no part
 * is left. */
enum { CAN_KNEES = 2 };
struct can_port {
    double siemens, growth; /* [S], [1/K] */
    int knees;
    struct {
        double volts, ohms;
    } knee[CAN_KNEES];
};
struct can_law {
    int ports;
    struct can_port port[DEVICE_PORTS];
    double reference, ambient; /* [K] */
    double thermal_resistance; /* [K/W] */
    double heat;               /* [J/K] */
};
extern const struct device_law law_can;

/* How many times a leakage has grown that is `rise` [K] over its reference. */
double can_growth(double growth, double rise);

/* The leakage at the reference temperature [S] above which no temperature balances at `volts`
 * across the plates: P = V^2 G e^(b (T - Tr)) touches (T - Ta)/Rth where dP/dT = b P = 1/Rth, so at
 * Ta + 1/b, with G = e^(-1 - b (Ta - Tr))/(b Rth V^2). inf where nothing grows. */
double can_critical_leakage(const struct can_law *can, double growth, double volts);

/* The current of a port whose first coefficient is its conductance [S]. */
double law_line(const void *par, int port, const double *c, double v, double *g);

/* `slow` of a law with one state. */
unsigned law_slow_first(const void *par);

/* All laws, for checks of their derivatives. */
extern const struct device_law *const laws_all[];
extern const int laws_count;

#endif
