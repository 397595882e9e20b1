# Makes the Debian package and looks at what it says and holds; installing it takes root.
# Called with -DBUILD=… -DWORK=… -DCPACK=…
file(REMOVE_RECURSE ${WORK})
file(MAKE_DIRECTORY ${WORK})

function(run)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE output ERROR_VARIABLE errors)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "${ARGN}\nended with ${status}:\n${output}${errors}")
  endif()
  set(output "${output}" PARENT_SCOPE)
endfunction()

function(must_hold text)
  foreach(part IN LISTS ARGN)
    string(FIND "${text}" "${part}" place)
    if(place EQUAL -1)
      message(FATAL_ERROR "no \"${part}\" in\n${text}")
    endif()
  endforeach()
endfunction()

run(${CPACK} -G DEB --config ${BUILD}/CPackConfig.cmake -B ${WORK})
file(GLOB package ${WORK}/*.deb)
list(LENGTH package count)
if(NOT count EQUAL 1)
  message(FATAL_ERROR "one package was expected: ${package}")
endif()

run(dpkg-deb --field ${package} Package Depends Suggests)
must_hold("${output}" "Package: earbudget" "libsndfile1 (>=" "libfmt9 (>=" "libssl3 (>=" "libc6 (>="
  "parallel, python3" "libkissfft-float131" "libtomlplusplus3" "libeigen3-dev")

run(dpkg-deb --contents ${package})
must_hold("${output}" " ./usr/bin/earbudget\n" " ./usr/bin/earbudget-collect\n" " ./usr/lib/libearbudget.a\n"
  " ./usr/lib/cmake/earbudget/earbudget-config.cmake\n"
  " ./usr/include/earbudget/advice/assess.hpp\n" " ./usr/share/man/man1/earbudget.1"
  " ./usr/share/bash-completion/completions/earbudget\n" " ./usr/share/doc/earbudget/copyright\n"
  " ./usr/share/earbudget/demo/sequences/saltmarsh/plan.toml\n")
foreach(place /usr/local /home /tmp /root)
  string(FIND "${output}" " .${place}/" found)
  if(NOT found EQUAL -1)
    message(FATAL_ERROR "the package has files in ${place}:\n${output}")
  endif()
endforeach()
message(STATUS "${package}")
