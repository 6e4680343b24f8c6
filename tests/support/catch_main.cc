// The one translation unit that holds Catch2's own main; every test executable links it.
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
