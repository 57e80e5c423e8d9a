/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WRITER_H
#define PRESOLDER_WRITER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "arena.h"
#include "status.h"

/* Writes a set of files into a folder, all or none. Everything goes first into a folder of its own
 * inside the target (`.partial-PROCESS-0`); writer_commit syncs the files and moves them into place
 * by rename, so that no reader ever sees half a file, and brings the old ones back when one of them
 * cannot be moved. What a process that was killed left in the target is put in order by the next
 * writer that begins there: the files of a target are of one run, always. The first thing that goes
 * wrong is kept and makes all later calls do nothing: the status is read once, at the end. Lives in
 * its arena and gives up by itself when that is freed. */
struct writer;

/* Makes `folder` with all its parents and the place for the partial files at once, so that a folder
 * that cannot be written to is found before the work and not behind it. Never NULL. */
struct writer *writer_begin(struct arena *arena, const char *folder);

/* A writer without folder or files, on a stream that stays the caller's, and so do its errors (ask
 * ferror). writer_pause brings out all that was written. */
struct writer *writer_stream(struct arena *arena, FILE *to);

/* Begins the next file; the one before is complete. `name` may hold folders: "plots/turn-on.gp". */
void writer_file(struct writer *w, const char *name);

/* Add to the running file. */
void writer_text(struct writer *w, const char *text);
void writer_bytes(struct writer *w, const char *bytes, size_t n);
void writer_format(struct writer *w, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A number with 9 significant digits and a decimal point under any locale; `inf`, `-inf`, `nan`. */
void writer_number(struct writer *w, double value);

/* One field of a CSV row, quoted where RFC 4180 section 2 asks for it. Before what a spreadsheet
 * would take for a formula (= + - @, tab, carriage return at the begin) goes an apostrophe. */
void writer_field(struct writer *w, const char *text);

/* Ends the running file, so that another program may read it in the partial folder. */
void writer_pause(struct writer *w);

/* The folder in which the partial files stand under their names. */
const char *writer_partial(const struct writer *w);

/* A file another program made in the partial folder, to be moved with the others. False, and
 * nothing happens, when it is not there or empty. */
bool writer_adopt(struct writer *w, const char *name);

/* A file written so far gets another name; the running file is ended. */
void writer_rename(struct writer *w, const char *from, const char *to);

/* An old file of this name goes when the new ones come, unless it is one of them; so does its
 * folder when it was the last in there. */
void writer_retire(struct writer *w, const char *name);

/* The same of `plots/NAME.gp` and its pictures. */
void writer_retire_plot(struct writer *w, const char *name);

/* The same of every picture in the folder whose script's name begins so. */
void writer_retire_plots(struct writer *w, const char *prefix);

/* No old file goes but those that get a new one. */
void writer_retire_none(struct writer *w);

/* Moves everything into place; STATUS_OK or STATUS_WRITE. The writer is done afterwards. */
enum status writer_commit(struct writer *w);

/* Takes back everything: partial files, and the folders that were made for them. */
void writer_abandon(struct writer *w);

/* Only removes the partial files and folder; a signal handler that ends the program may call it. */
void writer_drop(const struct writer *w);

/* The arena it lives in. */
struct arena *writer_arena(const struct writer *w);

/* What went wrong first, with the name of the file; NULL when nothing did. */
const char *writer_message(const struct writer *w);

/* Writes one new file and never over an old one (its folder must be there). NULL, or what went
 * wrong. */
const char *writer_new_file(struct arena *arena, const char *path, const char *text, size_t bytes);

#endif
