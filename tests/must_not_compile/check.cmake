# Compiles a source without its mistakes, which must pass, and with them: an error must then
# stand at every marked line.
# Called with -DCOMPILER=… -DSOURCE=… -DINCLUDES=dir;dir -DLEAST=marked lines
get_filename_component(source_name ${SOURCE} NAME)
set(include_flags "")
foreach(directory IN LISTS INCLUDES)
  list(APPEND include_flags -isystem ${directory})
endforeach()

macro(compile)
  execute_process(
    COMMAND ${COMPILER} -std=c++20 -fsyntax-only -fdiagnostics-color=never -ftemplate-backtrace-limit=0
            ${ARGN} ${include_flags} ${SOURCE}
    RESULT_VARIABLE status ERROR_VARIABLE messages OUTPUT_QUIET)
endmacro()

compile()
if(NOT status EQUAL 0)
  message(FATAL_ERROR "what is right must compile:\n${messages}")
endif()

compile(-DMISTAKES)
file(READ ${SOURCE} text)
string(REPLACE ";" "," text "${text}")  # a semicolon would split a line in two
string(REPLACE "\n" ";" text "${text}")
set(line_number 0)
set(cases 0)
foreach(line IN LISTS text)
  math(EXPR line_number "${line_number} + 1")
  if(line MATCHES "MUST FAIL")
    math(EXPR cases "${cases} + 1")
    # The line itself, or as the place where a refused template or constant was asked for.
    if(NOT messages MATCHES "${source_name}:${line_number}:[0-9]+:( error|   required from here| +in [^ ]*constexpr[^ ]* expansion| note: in instantiation)")
      message(FATAL_ERROR "line ${line_number} compiles: ${line}\n${messages}")
    endif()
  endif()
endforeach()
if(cases LESS LEAST)
  message(FATAL_ERROR "only ${cases} marked lines were found")
endif()
message(STATUS "${cases} mistakes do not compile")
