# The fuzz targets, with the sanitizers: cmake -C .ci/cache/fuzz.cmake -S . -B build-fuzz && cmake --build build-fuzz
# Then, for instance: build-fuzz/tests/fuzz_expression -max_total_time=60
include("${CMAKE_CURRENT_LIST_DIR}/asan.cmake")
set(STRINGLINE_FUZZ ON CACHE BOOL "" FORCE)
