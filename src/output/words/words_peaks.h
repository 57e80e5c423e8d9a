/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_PEAKS_H
#define PRESOLDER_WORDS_PEAKS_H

/* One sentence a rectifier; the contact of a vibrator. */

/* amperes */
static const char words_peaks_no_rating[] = "%s (no rating known)";
/* amperes, their limit */
static const char words_peaks_of[] = "%s of %s";
static const char words_peaks_i2t[] = ", %s of I2t";
/* seconds, I2t */
static const char words_peaks_for[] = " for %s%s";
/* what stands before; a time, amperes */
static const char words_peaks_comes_back[] = "%s; when the mains come back at %s it is %s";
/* amperes of so many */
static const char words_peaks_running[] = "the peak of every cycle is %s";
static const char words_peaks_unlimited[] = "nothing in the circuit limits it";
/* amperes of so many; how long */
static const char words_peaks_could_be[] = "it could be %s%s";
/* running; at what, the angle, the first peak; when the mains come back */
static const char words_peaks_sentence[] = "%s; %s (closed at %s) %s%s.";
static const char words_peaks_hot_restart[] = "at a hot restart";
static const char words_peaks_switch_on[] = "at switch-on";
/* amperes: making, RMS, peaks, breaking */
static const char words_peaks_contact[] = "The vibrator's contact makes up to %s, carries %s RMS "
                                          "with peaks of %s, and breaks %s.";
/* a winding, volts, share, volts */
static const char words_peaks_swings[] = "%s swings %s (%s) beyond its flat top of %s.";

#endif
