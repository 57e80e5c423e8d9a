# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -D SOURCE=... -D OUTPUT=FILE.c -P version.cmake: writes which commit is built, and its date. Out of
# git's own folder, in an archive that git made, commit.txt knows; elsewhere nobody does.
set(commit "")
set(date "")
find_program(GIT git)
if(GIT)
  execute_process(COMMAND ${GIT} -C ${SOURCE} rev-parse --show-toplevel OUTPUT_VARIABLE top
    OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  file(REAL_PATH ${SOURCE} source)
  if(top STREQUAL source)
    execute_process(COMMAND ${GIT} -C ${SOURCE} describe --always --dirty --abbrev=12
      OUTPUT_VARIABLE commit OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
    execute_process(COMMAND ${GIT} -C ${SOURCE} log -1 --format=%cs
      OUTPUT_VARIABLE date OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  endif()
endif()
if(NOT commit)
  file(STRINGS ${SOURCE}/src/package/commit.txt archived)
  if(archived MATCHES "^([0-9a-f]+) ([0-9-]+)$")
    set(date ${CMAKE_MATCH_2})
    string(SUBSTRING ${CMAKE_MATCH_1} 0 12 commit)
  endif()
endif()
set(text "#include \"version.h\"\n\nconst char version_commit[] = \"${commit}\";\n")
string(APPEND text "const char version_date[] = \"${date}\";\n")
if(EXISTS ${OUTPUT})
  file(READ ${OUTPUT} old)
endif()
if(NOT old STREQUAL text)
  file(WRITE ${OUTPUT} "${text}")
endif()
