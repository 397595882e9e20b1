# Installs into an empty prefix, looks for what must be there, then builds and runs a project that
# uses the library from there alone.
# Called with -DBUILD=… -DSOURCE=… -DWORK=… -DCOMPILER=… -DFLAGS=…
file(REMOVE_RECURSE ${WORK})
set(prefix ${WORK}/prefix)

function(run)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE output ERROR_VARIABLE output)
  if(NOT status EQUAL 0)
    list(JOIN ARGN " " command)
    message(FATAL_ERROR "${command}\nended with ${status}:\n${output}")
  endif()
  set(output "${output}" PARENT_SCOPE)
endfunction()

run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${prefix})
foreach(file
    bin/earbudget bin/earbudget-collect lib/libearbudget.a lib/cmake/earbudget/earbudget-config.cmake
    include/earbudget/advice/assess.hpp share/man/man1/earbudget.1
    share/bash-completion/completions/earbudget share/zsh/site-functions/_earbudget
    share/fish/vendor_completions.d/earbudget.fish share/doc/earbudget/LICENSE
    share/doc/earbudget/docs/methods.md share/doc/earbudget/docs/schemas/assess.schema.json
    share/earbudget/demo/sequences/saltmarsh/plan.toml share/earbudget/demo/recordings/epi-2mm.flac)
  if(NOT EXISTS ${prefix}/${file})
    message(FATAL_ERROR "${file} is not installed")
  endif()
endforeach()
# The package names targets and files of its own prefix alone.
file(STRINGS ${prefix}/lib/cmake/earbudget/earbudget-targets.cmake traces REGEX "${BUILD}|earbudget_options")
if(traces)
  message(FATAL_ERROR "the package names the build: ${traces}")
endif()

run(${prefix}/bin/earbudget measure recordings/epi-2mm.flac --calibration recordings/calibrator.flac
  --calibrator-level 114 --output ${WORK}/measured.txt
  WORKING_DIRECTORY ${prefix}/share/earbudget/demo)

file(GLOB_RECURSE headers RELATIVE ${prefix}/include ${prefix}/include/*.hpp)
list(LENGTH headers count)
if(count LESS 50)
  message(FATAL_ERROR "only ${count} headers are installed")
endif()
list(TRANSFORM headers REPLACE "(.+)" "#include <\\1>\n")
file(WRITE ${WORK}/every_header.cpp ${headers})

run(${CMAKE_COMMAND} -S ${SOURCE} -B ${WORK}/build -DCMAKE_PREFIX_PATH=${prefix}
  -DEVERY_HEADER=${WORK}/every_header.cpp
  -DCMAKE_CXX_COMPILER=${COMPILER} "-DCMAKE_CXX_FLAGS=${FLAGS}")
run(${CMAKE_COMMAND} --build ${WORK}/build)
run(${WORK}/build/outside)
message(STATUS "${output}")
