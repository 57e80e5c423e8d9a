# SPDX-License-Identifier: GPL-3.0-or-later
# Debian's emscripten, for the page: cmake -DCMAKE_TOOLCHAIN_FILE=src/page/toolchain.cmake
include(/usr/share/emscripten/cmake/Modules/Platform/Emscripten.cmake)
set(PRESOLDER_PAGE ON)
set(PRESOLDER_TESTS OFF CACHE BOOL "" FORCE)
if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE Release)
endif()
