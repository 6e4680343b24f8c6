// The grammar itself: PEGTL's analysis finds no rule that can loop without reading, in any entry.
#include <catch2/catch.hpp>

#include <string_view>

#include <tao/pegtl/contrib/analyze.hpp>

#include "grammar/expression.h"

namespace stringline::test {
namespace {

namespace pegtl = tao::pegtl;

template <typename Rule>
bool whole(std::string_view text) {
  pegtl::memory_input in(text.data(), text.data() + text.size(), "");
  return pegtl::parse<pegtl::seq<Rule, pegtl::eof>>(in);
}

// What analysis must find when it works: a repetition of something that may match nothing.
struct endless : pegtl::star<grammar::gap> {};

}  // namespace

TEST_CASE("no entry of the grammar can loop without reading") {
  CHECK(pegtl::analyze<grammar::expression_scalar>() == 0);
  CHECK(pegtl::analyze<grammar::table_key_scalar>() == 0);
  CHECK(pegtl::analyze<grammar::number_scalar>() == 0);
  CHECK(pegtl::analyze<grammar::range_scalar>() == 0);
  CHECK(pegtl::analyze<grammar::row_key_scalar>() == 0);
  CHECK(pegtl::analyze<grammar::text_scalar>() == 0);
}

TEST_CASE("the analysis finds a loop where there is one") { CHECK(pegtl::analyze<endless>(-1) > 0); }

TEST_CASE("magnitudes have one form") {
  for (const char* good : {"0", "7", "10", "0.25", "3.5/64", "1/8", "25 1/2", "25 1.5/64", "100.50"}) {
    INFO(good);
    CHECK(whole<grammar::magnitude>(good));
  }
  for (const char* bad :
       {"", "007", "00", ".5", "5.", "1 /2", "1/ 2", "1/0.5", "25  1/2", "1-1/2", "1/02", "1.5 1/2", "1e3"}) {
    INFO(bad);
    CHECK_FALSE(whole<grammar::magnitude>(bad));
  }
}

TEST_CASE("pitches have a capital, at most one accidental and one octave") {
  for (const char* good : {"E2", "Bb3", "F#4", "A0", "G9"}) CHECK(whole<grammar::pitch>(good));
  for (const char* bad : {"e2", "H2", "E", "E10", "Ebb3", "F##4", "E-1", "E2x"})
    CHECK_FALSE(whole<grammar::pitch>(bad));
}

TEST_CASE("a word of the language ends where the word ends") {
  CHECK(whole<grammar::reserved>("over"));
  CHECK_FALSE(whole<grammar::reserved>("overs"));
  CHECK(whole<grammar::name>("overs"));
  CHECK(whole<grammar::name>("is_low"));
  CHECK_FALSE(whole<grammar::reserved>("is_low"));
}

}  // namespace stringline::test
