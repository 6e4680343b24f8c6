# Clang with the address and undefined-behaviour sanitizers: cmake -C .ci/cache/asan.cmake -S . -B build-asan
include("${CMAKE_CURRENT_LIST_DIR}/dev.cmake")
set(CMAKE_CXX_COMPILER clang++ CACHE STRING "" FORCE)
set(CMAKE_BUILD_TYPE Debug CACHE STRING "" FORCE)
set(CMAKE_CXX_FLAGS_DEBUG "-O1 -g1" CACHE STRING "" FORCE)
set(STRINGLINE_SANITIZE "address,undefined" CACHE STRING "" FORCE)
