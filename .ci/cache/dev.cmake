# The everyday build: cmake -C .ci/cache/dev.cmake -S . -B build
# No build type: stringline_flags then asks for -O2 and leaves the assertions in.
set(CMAKE_BUILD_TYPE "" CACHE STRING "" FORCE)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON CACHE BOOL "" FORCE)
set(STRINGLINE_DEV ON CACHE BOOL "" FORCE)
set(STRINGLINE_WERROR ON CACHE BOOL "" FORCE)
find_program(STRINGLINE_CCACHE ccache)
if(STRINGLINE_CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER "${STRINGLINE_CCACHE}" CACHE STRING "" FORCE)
endif()
