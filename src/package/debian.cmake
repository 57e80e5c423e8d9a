# SPDX-License-Identifier: GPL-3.0-or-later
# What Debian wants otherwise than others do, in the tree that is about to be packed: the licence by name, a
# changelog of its own form, pages packed, zsh's functions in their folder.
set(tree ${CPACK_TEMPORARY_INSTALL_DIRECTORY}${CPACK_PACKAGING_INSTALL_PREFIX}/share)
set(doc ${tree}/doc/presolder)
file(REMOVE ${doc}/COPYING)
file(COPY_FILE ${CMAKE_CURRENT_LIST_DIR}/copyright ${doc}/copyright)

# The section `### VERSION, DATE` of the changes.
file(READ ${CMAKE_CURRENT_LIST_DIR}/../../DEVELOPERS.md developers)
string(REGEX MATCH "\n### ${CPACK_PACKAGE_VERSION}, ([0-9-]+)\n\n([^#]*)" found "${developers}")
if(NOT found)
  message(FATAL_ERROR "DEVELOPERS.md tells no changes of ${CPACK_PACKAGE_VERSION}")
endif()
string(STRIP "${CMAKE_MATCH_2}" changes)
string(REGEX REPLACE "(^|\n)- " "\\1* " changes "${changes}")
string(REPLACE "\n" "\n  " changes "${changes}")
set(day ${CMAKE_MATCH_1})
execute_process(COMMAND date -u -R -d ${day} OUTPUT_VARIABLE when OUTPUT_STRIP_TRAILING_WHITESPACE
  COMMAND_ERROR_IS_FATAL ANY)
file(WRITE ${doc}/changelog "presolder (${CPACK_PACKAGE_VERSION}) unstable; urgency=medium\n\n"
  "  ${changes}\n\n -- ${CPACK_PACKAGE_CONTACT}  ${when}\n")

file(GLOB_RECURSE pages ${tree}/man/*)
execute_process(COMMAND gzip -9n ${doc}/changelog ${pages} COMMAND_ERROR_IS_FATAL ANY)
if(EXISTS ${tree}/zsh/site-functions)
  file(RENAME ${tree}/zsh/site-functions ${tree}/zsh/vendor-completions)
endif()

# All files are of that day, so that the package is the same bytes whenever and wherever it is made.
if(NOT DEFINED ENV{SOURCE_DATE_EPOCH})
  execute_process(COMMAND date -u +%s -d ${day} OUTPUT_VARIABLE epoch OUTPUT_STRIP_TRAILING_WHITESPACE
    COMMAND_ERROR_IS_FATAL ANY)
  set(ENV{SOURCE_DATE_EPOCH} ${epoch})
endif()
