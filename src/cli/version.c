/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The C library is named since its functions decide the last digits too. */
#include "version.h"

#include <gsl/gsl_version.h>
#include <yaml.h>
#ifdef __GLIBC__
#include <gnu/libc-version.h>
#endif

#include "words_help.h"

void version_write(FILE *to)
{
    fputs("presolder " PRESOLDER_VERSION "\n", to);
    if (version_commit[0])
        fprintf(to, words_help_commit, version_commit, version_date[0] ? version_date : "?");
    else fputs(words_help_no_commit, to);
    fprintf(to, words_help_libraries, gsl_version, yaml_get_version_string());
#ifdef __GLIBC__
    fprintf(to, words_help_c_library, gnu_get_libc_version());
#endif
}
