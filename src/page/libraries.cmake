# SPDX-License-Identifier: GPL-3.0-or-later
# GSL and libyaml from the source packages that build.sh has unpacked: only the files that are linked.
# A function of GSL that is new to the program shows as undefined when the page is linked; its file
# then joins the list.
set(sources ${CMAKE_BINARY_DIR}/sources)
set(gsl ${sources}/gsl)
set(yaml ${sources}/libyaml)
if(NOT EXISTS ${gsl}/config.h.in OR NOT EXISTS ${yaml}/src/api.c)
  message(FATAL_ERROR "The sources of GSL and libyaml are not in ${sources}: run `sh src/page/build.sh`.")
endif()

# What configure would find of C99; all else is off, as in a build for a machine without extras.
file(READ ${gsl}/config.h.in config)
string(REGEX REPLACE "#undef (HAVE_(DECL_[A-Z0-9_]+|STDLIB_H|STRING_H|IEEE_COMPARISONS|IEEE_DENORMALS))"
  "#define \\1 1" config "${config}")
file(CONFIGURE OUTPUT ${sources}/include/config.h CONTENT "${config}" @ONLY)
file(GLOB headers ${gsl}/gsl_*.h ${gsl}/*/gsl_*.h)
file(COPY ${headers} DESTINATION ${sources}/include/gsl)

set(used
  block/init.c blas/blas.c cdf/chisq.c cdf/gamma.c complex/math.c eigen/symmv.c err/error.c err/stream.c
  interpolation/accel.c interpolation/inline.c interpolation/interp.c interpolation/steffen.c
  linalg/cholesky.c linalg/condest.c linalg/inline.c linalg/householder.c linalg/invtri.c linalg/qr.c linalg/symmtd.c
  linalg/trimult.c
  matrix/copy.c matrix/init.c matrix/matrix.c matrix/oper.c matrix/rowcol.c matrix/submatrix.c
  matrix/swap.c matrix/view.c multiroots/fdfsolver.c multiroots/hybridj.c
  qrng/inline.c qrng/qrng.c qrng/sobol.c randist/shuffle.c rng/inline.c rng/mt.c rng/rng.c roots/brent.c roots/fsolver.c
  sort/sortvec.c specfunc/elementary.c specfunc/erfc.c specfunc/exp.c specfunc/expint.c
  specfunc/gamma.c specfunc/gamma_inc.c specfunc/log.c specfunc/psi.c specfunc/trig.c specfunc/zeta.c
  statistics/quantiles.c sys/coerce.c sys/fdiv.c sys/infnan.c sys/pow_int.c
  vector/copy.c vector/init.c vector/oper.c vector/subvector.c vector/swap.c vector/vector.c
  vector/view.c version.c)
list(TRANSFORM used PREPEND ${gsl}/)
file(GLOB cblas ${gsl}/cblas/[a-z]*.c)
list(FILTER cblas EXCLUDE REGEX /test)
add_library(gsl STATIC ${used} ${cblas})
target_include_directories(gsl SYSTEM PUBLIC ${sources}/include PRIVATE ${gsl})
target_compile_options(gsl PRIVATE -w -ffp-contract=off -fmacro-prefix-map=${sources}/=)
add_library(GSL::gsl ALIAS gsl)

file(GLOB used ${yaml}/src/*.c)
add_library(yaml STATIC ${used})
target_include_directories(yaml SYSTEM PUBLIC ${yaml}/include)
target_compile_definitions(yaml PRIVATE YAML_VERSION_STRING="0.2.5"
  YAML_VERSION_MAJOR=0 YAML_VERSION_MINOR=2 YAML_VERSION_PATCH=5)
target_compile_options(yaml PRIVATE -w -fmacro-prefix-map=${sources}/=)
add_library(PkgConfig::YAML ALIAS yaml)

add_library(Threads::Threads INTERFACE IMPORTED) # a page has none
