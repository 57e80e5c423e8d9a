/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "folder.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

enum { PATH_BYTES = 512, TEXT_BYTES = 1 << 20 };

static char folder[PATH_BYTES];

void folder_make(void)
{
    const char *tmp = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/presolder-test-XXXXXX", tmp && *tmp ? tmp : "/tmp");
    if (!mkdtemp(folder)) fail_msg("cannot make %s", folder);
}

static bool is_folder(const char *path)
{
    struct stat st;
    return lstat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

static void remove_all(const char *path)
{
    DIR *dir = is_folder(path) ? opendir(path) : NULL;
    for (const struct dirent *e; dir && (e = readdir(dir));) {
        char inner[2 * PATH_BYTES];
        if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0) continue;
        snprintf(inner, sizeof inner, "%s/%s", path, e->d_name);
        remove_all(inner);
    }
    if (dir) closedir(dir);
    remove(path);
}

void folder_remove(void)
{
    remove_all(folder);
}

const char *folder_path(const char *name)
{
    static char path[2 * PATH_BYTES];
    snprintf(path, sizeof path, *name ? "%s/%s" : "%s%s", folder, name);
    return path;
}

void folder_put(const char *name, const char *text)
{
    FILE *to = fopen(folder_path(name), "wb");
    if (!to || fwrite(text, 1, strlen(text), to) != strlen(text) || fclose(to) != 0)
        fail_msg("cannot write %s", folder_path(name));
}

const char *folder_get(const char *name)
{
    static char text[TEXT_BYTES];
    FILE *from = fopen(folder_path(name), "rb");
    if (!from) return NULL;
    size_t n = fread(text, 1, sizeof text - 1, from);
    fclose(from);
    assert_true(n < sizeof text - 1);
    text[n] = 0;
    return text;
}

bool folder_has(const char *name)
{
    return access(folder_path(name), F_OK) == 0;
}

int folder_count(const char *name)
{
    DIR *dir = opendir(folder_path(name));
    if (!dir) return -1;
    int n = 0;
    for (const struct dirent *e; (e = readdir(dir));)
        n += strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0;
    closedir(dir);
    return n;
}
