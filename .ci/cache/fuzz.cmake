# The sanitizers' build with the fuzz targets: cmake -C .ci/cache/fuzz.cmake -S . -B build-fuzz && cmake --build build-fuzz
# Then tests/fuzz/run build-fuzz 60 runs each for a minute.
include("${CMAKE_CURRENT_LIST_DIR}/asan.cmake")
set(STRINGLINE_FUZZ ON CACHE BOOL "" FORCE)
