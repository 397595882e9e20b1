# Builds the program with each compiler and build type below BUILD and compares what all print.

set(programs ${PROGRAM})
foreach(compiler g++ clang++)
  foreach(type Release Debug)
    set(out ${BUILD}/${compiler}-${type})
    execute_process(COMMAND ${CMAKE_COMMAND} -S ${SOURCE} -B ${out} -G Ninja -Wno-dev
      -DCMAKE_CXX_COMPILER=${compiler} -DCMAKE_BUILD_TYPE=${type} -DCMAKE_CXX_FLAGS_DEBUG=-O0
      -DEARBUDGET_TESTS=OFF OUTPUT_QUIET COMMAND_ERROR_IS_FATAL ANY)
    execute_process(COMMAND ${CMAKE_COMMAND} --build ${out} --target earbudget_program
      COMMAND_ERROR_IS_FATAL ANY)
    list(APPEND programs ${out}/earbudget)
  endforeach()
endforeach()
execute_process(COMMAND ${PYTHON} -B ${CMAKE_CURRENT_LIST_DIR}/compare.py ${programs}
  COMMAND_ERROR_IS_FATAL ANY)
