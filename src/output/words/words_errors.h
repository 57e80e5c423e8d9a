/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_ERRORS_H
#define PRESOLDER_WORDS_ERRORS_H

/* Errors and hints of commands. */

static const char words_errors_other_folder[] = "name another folder with --out";
static const char words_errors_kept[] =
    "nothing was written; results of earlier runs are as they were";
static const char words_errors_drawing[] = "interrupted while drawing";
static const char words_errors_interrupted[] = "interrupted";
static const char words_errors_not_rely[] = "do not rely on its figures";
/* which run; residuals of energy and charge, where */
static const char words_errors_unbalanced[] =
    "%s does not balance: energy to %.1e, charge to %.1e at %s";
static const char words_errors_nowhere[] = "none";

static const char words_errors_not_both[] = "the same readings cannot be healthy and be diagnosed";
static const char words_errors_two_files[] = "name two files";
static const char words_errors_no_steady[] =
    "the sound set does not settle, so there is nothing to compare with";
/* a reading */
static const char words_errors_no_reading[] = "no `=` in the reading `%s`";
static const char words_errors_reading[] =
    "write it as in --reading \"B+ settled-voltage = 181 V\"";

static const char words_errors_fewer[] = "take fewer values";
/* how many, at most */
static const char words_errors_too_many[] = "%d runs; at most %d are made";
/* which, of how many */
static const char words_errors_after[] =
    "note: interrupted after the run from cold: what would be said beside it may be missing.\n";
static const char words_errors_interrupted_in[] = "interrupted in run %d of %d";
static const char words_errors_memory[] = "out of memory";
static const char words_errors_thread[] = "no thread could be started";
/* how many, folder */
static const char words_errors_whole_runs[] =
    "the %d completed runs are in %s/interrupted.csv; results of earlier runs are as they were";

static const char words_errors_one_or_two[] =
    "it takes one --change and one --so-that, or two of each";
static const char words_errors_two_keys[] = "two different keys";
static const char words_errors_twice[] = "%s is to be changed twice";
/* two paths, two wishes */
static const char words_errors_no_values[] = "no values of %s and %s give both %s and %s";
/* path, wish */
static const char words_errors_no_value[] = "no value of %s gives %s";

static const char words_errors_above_zero[] = "%s: it must be above zero";
static const char words_errors_needs_value[] =
    "a part without a scenario needs --value and --rated";
static const char words_errors_which[] = "which capacitor of the scenario? Name it with --part";
static const char words_errors_name_one[] = "name one of its capacitors";
static const char words_errors_no_capacitor[] = "there is no capacitor `%s`";
static const char words_errors_no_electrolytic[] =
    "%s is no electrolytic: there is nothing to re-form";
static const char words_errors_no_rated[] = "%s: its rated voltage is not given";
static const char words_errors_at_most[] = "--at may not be above the rated voltage";

static const char words_errors_choose[] = "choose with --variant";
static const char words_errors_columns[] = "more than %d columns";
static const char words_errors_several[] =
    "name several files, or several --variant (`base` is the scenario itself)";
static const char words_errors_nothing[] = "there is nothing to compare with: one column only";
static const char words_errors_restart[] = "hot restart: ";

static const char words_errors_as_written[] = "write it as in the scenario";
static const char words_errors_no_point[] = "there is no point `%s`";
static const char words_errors_name_touched[] = "name what hands may touch with --point";
static const char words_errors_earthed[] = "the reference of this set is earth itself";

static const char words_errors_other_file[] = "name another file: `presolder new KIND FILE`";
static const char words_errors_set_forms[] =
    "set PRESOLDER_DATA to the folder that holds `scenarios`, or install again";
static const char words_errors_no_forms[] = "no forms were found";
static const char words_errors_no_kind[] = "no kind of scenario is called `%s`";
static const char words_errors_part_alone[] = "--part and --variant belong to a scenario";
static const char words_errors_own_value[] = "a scenario's part has its own value and rating";
static const char words_errors_not_rely_many[] = "do not rely on their figures";
static const char words_errors_one_unbalanced[] = "one run does not balance";
static const char words_errors_many_unbalanced[] = "%d runs do not balance";

/* level */
static const char words_errors_no_level[] = "there is no level %d";
static const char words_errors_levels[] = "1: one fault; 2: one that misleads; 3: two";
/* how many */
static const char words_errors_pupils[] = "at most %d sheets are made at once";
static const char words_errors_two_classes[] = "make two sets, each with its own --seed";

#endif
