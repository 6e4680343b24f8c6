// Values printed by others, each with its source and how well it was checked:
//   [READ]  the source's own text or table was read      [2ND]  quoted by a source that was read
//   [MEM]   from memory, not verified                    [DER]  derived here, so no check from outside
// A tolerance is half a unit of the last printed digit unless said otherwise.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "engine/value/conformity.h"
#include "engine/value/date.h"
#include "engine/value/money.h"
#include "engine/value/pitch.h"
#include "engine/value/quantity.h"
#include "engine/value/ratio.h"

using namespace stringline;

namespace {

Ratio ratio(std::int64_t num, std::int64_t den = 1) { return Ratio::make(num, den).value(); }
Ratio decimal(const std::string& text) { return Ratio::parse(text).value(); }
Ratio length(const std::string& number, Unit unit) { return make_quantity(decimal(number), unit).value().value; }
Ratio sixty_fourths(std::int64_t count) { return make_quantity(ratio(count, 64), Unit::in).value().value; }
double hertz(const std::string& text) { return frequency(parse_pitch(text).value()); }
Date date(const std::string& text) { return parse_date(text).value(); }

// u of a reading, half of U.
double standard(const Uncertainty& of) { return std::sqrt(expanded_square(of).value().to_double()) / 2.0; }

struct Note {
  std::string name;
  double hertz;
  double tolerance;
};

}  // namespace

// ---- Lengths

// [READ] addendum to NBS Circular 572: from July 1, 1959 1 yard = 0.9144 m exactly and 1 inch = 25.4 mm.
TEST_CASE("the inch of 1959 is 25.4 mm, and its 64ths are exact decimals of a millimetre") {
  CHECK(length("1", Unit::in) == decimal("25.4"));
  CHECK(length("36", Unit::in) == decimal("914.4"));
  // [DER] from it
  CHECK(sixty_fourths(1) == decimal("0.396875"));
  CHECK(sixty_fourths(5) == decimal("1.984375"));
  CHECK(sixty_fourths(6) == decimal("2.38125"));
  CHECK(sixty_fourths(4) == decimal("1.5875"));
}

// [2ND] NIST LC 1137, quoted: what the exact conversions are before anybody rounds them.
TEST_CASE("36 in is 91.44 cm and 40.1 in is 101.854 cm") {
  CHECK(in_unit(length("36", Unit::in), Unit::cm) == decimal("91.44"));
  CHECK(in_unit(length("40.1", Unit::in), Unit::cm) == decimal("101.854"));
  CHECK(to_fixed(in_unit(length("40.1", Unit::in), Unit::cm).value(), 1) == "101.9");
}

// [DER] a printed pair such as "0.014 in (0.35 mm)" is two values; the first one is 0.3556 mm.
TEST_CASE("a printed pair of inch and millimetre is not one value") {
  CHECK(length("0.014", Unit::in) == decimal("0.3556"));
  CHECK(length("0.014", Unit::in) != length("0.35", Unit::mm));
}

// [READ] GUM (JCGM 100:2008) 7.2.6.
TEST_CASE("the GUM's rounded results come out") {
  CHECK(to_fixed(decimal("28.05"), 0) == "28");
  CHECK(to_fixed(decimal("10.05762"), 3) == "10.058");
}

// [READ] numbered screws, ANSI B1.1 as an article quotes it: D = 0.013 N + 0.060 in; #10 is 0.190 in. Metric [DER].
TEST_CASE("a numbered screw's diameter is an exact length") {
  const auto diameter = [](int number) {
    return make_quantity(add(multiply(decimal("0.013"), number).value(), decimal("0.060")).value(), Unit::in)->value;
  };
  CHECK(diameter(10) == length("0.190", Unit::in));
  CHECK(diameter(10) == decimal("4.826"));
  CHECK(diameter(4) == decimal("2.8448"));
  CHECK(diameter(6) == decimal("3.5052"));
  CHECK(diameter(8) == decimal("4.1656"));
}

// [DER] p = 25.4 mm / threads per inch.
TEST_CASE("thread pitches in millimetres follow from threads per inch") {
  const auto pitch = [](int threads) { return divide(length("1", Unit::in), threads).value(); };
  CHECK(pitch(40) == decimal("0.635"));
  CHECK(pitch(32) == decimal("0.79375"));
  CHECK(to_fixed(pitch(24), 5) == "1.05833");
  CHECK(to_fixed(pitch(18), 5) == "1.41111");
}

// The definitions: lbf = 0.45359237 kg x 9.80665 m/s^2, kgf = 9.80665 N, 0 degC = 273.15 K, 0 degF = 459.67 x 5/9 K.
// [MEM] the 1959 pound and standard gravity.
TEST_CASE("the constants of the unit table are the defined ones") {
  const Ratio gravity = decimal("9.80665");
  CHECK(info(Unit::kgf).factor == gravity);
  CHECK(info(Unit::lbf).factor == multiply(decimal("0.45359237"), gravity));
  CHECK(info(Unit::lbf).factor == decimal("4.4482216152605"));
  CHECK(info(Unit::deg_c).offset == decimal("273.15"));
  CHECK(info(Unit::deg_f).offset == multiply(decimal("459.67"), ratio(5, 9)));
  CHECK(info(Unit::deg_f).factor == ratio(5, 9));
  CHECK(info(Unit::in).factor == decimal("25.4"));
  CHECK(info(Unit::thou).factor == decimal("0.0254"));
}

// ---- Pitch

// ISO 16:1975, "Acoustics - Standard tuning frequency": title page [READ]; +-0.5 Hz clause [MEM], not tested.
TEST_CASE("A4 is 440 Hz") { CHECK(hertz("A4") == 440.0); }

// [READ] CRC Handbook of Chemistry and Physics, sec. 14-22 "Musical scales", Table 1.
TEST_CASE("equal-tempered frequencies are those of the CRC Handbook") {
  const auto note = GENERATE(values<Note>({
      {"C0", 16.352, .0005},
      {"C#0", 17.324, .0005},
      {"D0", 18.354, .0005},
      {"D#0", 19.445, .0005},
      {"E0", 20.602, .0005},
      {"F0", 21.827, .0005},
      {"C2", 65.406, .0005},
      {"C#2", 69.296, .0005},
      {"D2", 73.416, .0005},
      {"D#2", 77.782, .0005},
      {"E2", 82.407, .0005},
      {"F2", 87.307, .0005},
      {"C4", 261.63, .005},
      {"C#4", 277.18, .005},
      {"D4", 293.66, .005},
      {"D#4", 311.13, .005},
      {"E4", 329.63, .005},
      {"F4", 349.23, .005},
  }));
  CAPTURE(note.name);
  CHECK(std::abs(hertz(note.name) - note.hertz) <= note.tolerance);
}

// [READ] OpenStax University Physics vol. 1, Example 16.5: the six strings of a guitar.
TEST_CASE("a guitar's open strings have the frequencies of the textbook") {
  const auto note = GENERATE(values<Note>({
      {"E4", 329.63, .005},
      {"B3", 246.94, .005},
      {"G3", 196.00, .005},
      {"D3", 146.83, .005},
      {"A2", 110.00, .005},
      {"E2", 82.41, .005},
  }));
  CAPTURE(note.name);
  CHECK(std::abs(hertz(note.name) - note.hertz) <= note.tolerance);
}

// [READ] The same book, a problem of chapter 16.3, prints "the note E4 ... f = 393.88", which is a slip: it is near G4.
TEST_CASE("a misprinted note name is not followed") {
  CHECK(std::abs(hertz("E4") - 393.88) > 60.0);
  CHECK(std::abs(cents_between(393.88, hertz("G4"))) < 10.0);
}

// [DER]
TEST_CASE("notes of basses, ukuleles and mandolins follow from A4") {
  const auto note = GENERATE(values<Note>({
      {"E1", 41.2034, .00005},
      {"A1", 55.000, .0005},
      {"B0", 30.8677, .00005},
      {"G4", 391.9954, .00005},
      {"C4", 261.6256, .00005},
      {"D5", 587.3295, .00005},
      {"E5", 659.2551, .00005},
  }));
  CAPTURE(note.name);
  CHECK(std::abs(hertz(note.name) - note.hertz) <= note.tolerance);
}

// [READ] W. Stegall, "Straight Intonation" (2018), Table 1: just minus equal-tempered; tolerance 1e-6 cents.
TEST_CASE("just intervals differ from equal-tempered ones by Stegall's cents") {
  struct Row {
    double num;
    double den;
    double semitones;
    double difference;
  };
  const auto row = GENERATE(values<Row>({
      {16, 15, 1, 11.731285},
      {9, 8, 2, 3.910002},
      {6, 5, 3, 15.641287},
      {5, 4, 4, -13.686286},
      {4, 3, 5, -1.955001},
      {3, 2, 7, 1.955001},
      {5, 3, 9, -15.641287},
      {15, 8, 11, -11.731285},
  }));
  CAPTURE(row.num, row.den);
  CHECK(std::abs(cents_between(row.num, row.den) - 100.0 * row.semitones - row.difference) <= 1e-6);
}

// ---- Uncertainty

// [READ] GUM (JCGM 100:2008), clauses as named. A rectangular bound of +-a is a resolution of 2a.
TEST_CASE("standard uncertainties are the GUM's") {
  CHECK(std::abs(standard({decimal("0.80"), 0, 1}) - 0.23) <= 0.005);  // 4.3.7: a = 0.40e-6
  CHECK(std::abs(standard({30, 0, 1}) - 8.7) <= 0.05);                 // 4.3.7: voltmeter, a = 15 uV
  CHECK(std::abs(standard({8, 0, 1}) - 2.3) <= 0.05);                  // 4.4.5: 96 .. 104
  CHECK(std::abs(standard({1, 0, 1}) - 0.29) <= 0.005);                // F.2.2.1: resolution 1 g
  CHECK(std::abs(standard({30, 12, 1}) - 15.0) <= 0.5);                // 5.1.5: 12 uV and 8.7 uV
  CHECK(expanded_square({30, 12, 1}) == Ratio{4 * 219});               // 5.1.5: u^2 = 219
}

// [DER] from the GUM's rule.
TEST_CASE("a 1/64 in ruler has one of two uncertainties, by how it is read, and the factor is 2") {
  const Uncertainty by_division{sixty_fourths(1), 0, 1};
  const Uncertainty by_half_division{make_quantity(ratio(1, 128), Unit::in)->value, 0, 1};
  CHECK(std::abs(standard(by_division) - 0.114568) <= 5e-7);
  CHECK(std::abs(2 * standard(by_division) - 0.229136) <= 1e-6);
  CHECK(std::abs(standard(by_half_division) - 0.057284) <= 5e-7);
  CHECK(multiply(expanded_square(by_half_division).value(), 4) == expanded_square(by_division));
  CHECK(std::abs(standard({decimal("0.5"), 0, 1}) - 0.144338) <= 5e-7);
  CHECK(std::abs(standard({decimal("0.01"), 0, 1}) - 0.002887) <= 5e-7);
  CHECK(std::abs(standard({length("1", Unit::thou), 0, 1}) - 0.007332) <= 5e-7);
}

// [READ] JCGM 106:2012 Table 1, one-sided.
TEST_CASE("the z of JCGM 106 Table 1 give its probabilities") {
  struct Row {
    double published_z;
    double exact_z;
    double probability;
  };
  const auto row = GENERATE(values<Row>({
      {.84, .8416, .80},
      {1.28, 1.2816, .90},
      {1.64, 1.6449, .95},
      {2.33, 2.3263, .99},
      {3.09, 3.0902, .999},
  }));
  CAPTURE(row.probability);
  const Tolerance least{Ratio{0}, std::nullopt};
  const Tolerance most{std::nullopt, Ratio{0}};
  CHECK(std::abs(row.published_z - row.exact_z) <= .005);
  CHECK(std::abs(probability(row.exact_z, least, 1.0) - row.probability) <= 1e-4);
  CHECK(std::abs(probability(-row.exact_z, most, 1.0) - row.probability) <= 1e-4);
}

// [READ] JCGM 106:2012 7.3.3, examples 1 and 2; 7.7.5; 8.2.3; Table A.1 of A.3.
TEST_CASE("worked values of JCGM 106 come out") {
  const Tolerance zener{std::nullopt, decimal("-5.40")};
  CHECK(std::abs(probability(-5.47, zener, 0.05) - .92) <= .005);
  CHECK(std::abs(probability(-5.47, zener, 0.05) - .91924) <= 1e-4);
  const Tolerance container{Ratio{490}, std::nullopt};
  CHECK(std::abs(probability(509.7, container, 8.6) - .99) <= .005);
  CHECK(std::abs(probability(509.7, container, 8.6) - .98901) <= 1e-4);
  // The published .955 stands for .9544997, so it was rounded twice: its tolerance is a little over half a digit.
  CHECK(std::abs(probability(0.0, {Ratio{-1}, Ratio{1}}, 1.0) - .683) <= .0005);
  CHECK(std::abs(probability(0.0, {Ratio{-2}, Ratio{2}}, 1.0) - .955) <= .000501);
  CHECK(std::abs(probability(0.0, {Ratio{-3}, Ratio{3}}, 1.0) - .997) <= .0005);
  CHECK(std::abs(probability(0.0, {Ratio{-1}, Ratio{1}}, 1.0) - .68269) <= 1e-4);
  CHECK(std::abs(probability(0.0, {Ratio{-2}, Ratio{2}}, 1.0) - .95450) <= 1e-4);
  CHECK(std::abs(probability(0.0, {Ratio{-3}, Ratio{3}}, 1.0) - .99730) <= 1e-4);
  // 8.2.3: U at most a third of the largest error allowed is C_m of at least 3.
  CHECK(measuring_capability({Ratio{-3}, Ratio{3}}, 1) == Approx(3.0).epsilon(1e-12));
}

// [READ] JCGM 106:2012 7.7.5: at C_m = 1, p_c is 95 % or more for 0.45 <= y <= 0.55 of the tolerance.
TEST_CASE("at a measuring capability of 1 only the middle tenth is 95 % sure") {
  const Tolerance unit{Ratio{0}, Ratio{1}};
  CHECK(measuring_capability(unit, ratio(1, 4)) == Approx(1.0).epsilon(1e-12));
  const auto sure = [&](double y) { return probability(y, unit, 0.25) >= .95; };
  CHECK(sure(.45));
  CHECK(sure(.55));
  CHECK_FALSE(sure(.445));
  CHECK_FALSE(sure(.555));
  CHECK(std::abs(probability(.5, unit, 0.25) - .95450) <= 1e-4);
  CHECK(sure(.4491));  // the exact end, .44905..
  CHECK_FALSE(sure(.4490));
}

// [READ] JCGM 106:2012 8.3.2.3 on ISO 14253-1: a guard band of U leaves a false acceptance of at most 2.3 %.
TEST_CASE("what is just within has at most 2.3 % of being out") {
  const Tolerance most{std::nullopt, Ratio{10}};
  REQUIRE(judge_value(8, most, 4) == Conformity::within);  // U = 2, one U inside
  REQUIRE(judge_value(decimal("8.000001"), most, 4) == Conformity::too_close);
  CHECK(std::abs(1.0 - probability(8.0, most, 1.0) - .023) <= .0005);
  CHECK(std::abs(1.0 - probability(8.0, most, 1.0) - .02275) <= 1e-5);
}

// [DER] action at the 12th of 1.80 .. 2.20 mm, read with a 1/64 in rule by the division or by half of it.
TEST_CASE("set-up readings are decided by the U rule") {
  struct Row {
    std::string y;
    std::int64_t step_den;  // of an inch
    double p;
    Conformity verdict;
  };
  const auto row = GENERATE(values<Row>({
      {"2.00", 64, .9191, Conformity::too_close},
      {"2.00", 128, .9995, Conformity::within},
      {"2.10", 128, .9596, Conformity::too_close},
      {"2.15", 64, .6676, Conformity::too_close},
      {"2.25", 128, .1914, Conformity::too_close},
      {"2.0854", 128, .9772, Conformity::within},  // the acceptance limit, 2.20 - U
      {"2.0855", 128, .9772, Conformity::too_close},
      {"2.3145", 128, .0228, Conformity::too_close},  // proven out from 2.3146 on
      {"2.3146", 128, .0228, Conformity::high},
  }));
  CAPTURE(row.y, row.step_den);
  const Tolerance spec{decimal("1.80"), decimal("2.20")};
  const Uncertainty rule{make_quantity(ratio(1, row.step_den), Unit::in)->value, 0, 1};
  CHECK(judge_value(decimal(row.y), spec, expanded_square(rule).value()) == row.verdict);
  CHECK(std::abs(probability(decimal(row.y).to_double(), spec, standard(rule)) - row.p) <= 1e-4);
}

// [DER]
TEST_CASE("a 1/64 in rule can not verify 0.2 mm to each side, whatever it reads") {
  const Tolerance spec{decimal("1.80"), decimal("2.20")};
  const Ratio square = expanded_square({sixty_fourths(1), 0, 1}).value();
  CHECK(std::abs(measuring_capability(spec, square).value() - .873) <= .0005);
  for (int hundredths = 170; hundredths <= 230; ++hundredths) {
    CHECK(judge_value(ratio(hundredths, 100), spec, square) != Conformity::within);
  }
}

// [DER] octave error of 2 cents against 3, by one reading and by the mean of four.
TEST_CASE("four readings of an octave error are surer than one") {
  const Tolerance limit{Ratio{-3}, Ratio{3}};
  CHECK(std::abs(probability(2.0, limit, standard({0, 2, 1})) - .6853) <= 1e-4);
  CHECK(std::abs(probability(2.0, limit, standard({0, 2, 4})) - .8413) <= 1e-4);
}

// ---- Money

// ISO 4217 minor units: default 2 and the digits below [READ], from the ISO list as generated into a browser's
// currency data; UGX UYI BIF DJF GNF KMF PYG RWF VUV XOF XPF [MEM].
TEST_CASE("minor units are those of ISO 4217") {
  struct Row {
    int digits;
    std::set<std::string> codes;
  };
  const std::vector<Row> rows{
      {0, {"JPY", "KRW", "ISK", "CLP", "VND", "XAF"}},
      {0, {"UGX", "UYI", "BIF", "DJF", "GNF", "KMF", "PYG", "RWF", "VUV", "XOF", "XPF"}},
      {3, {"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"}},
      {4, {"CLF", "UYW"}},
      {2, {"HUF", "IDR"}},  // where payment firms' own tables say 0
      {2, {"EUR", "USD", "GBP", "AUD"}},
  };
  std::set<std::string> special;
  for (const Row& row : rows) {
    for (const std::string& code : row.codes) {
      CAPTURE(code);
      CHECK(find_currency(code).value().minor_digits == row.digits);
      if (row.digits != 2) special.insert(code);
    }
  }
  for (const Currency& each : all_currencies()) {
    CAPTURE(each.code);
    CHECK((each.minor_digits != 2) == (special.count(each.code) == 1));
  }
}

// [READ] npm's currency-codes 2.2.0, data.js: codes and digits of the ISO 4217 list of 2024-06-25. tests/run fetches it.
TEST_CASE("the minor units are those of npm's currency-codes") {
  const char* path = std::getenv("CURRENCY_CODES");
  std::ifstream file{path != nullptr ? path : ""};
  if (!file) {
    WARN("SKIPPED: npm's currency-codes is not there, so the minor units were not compared with it");
    return;
  }
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  const std::size_t begin = text.find('[', text.find("module.exports"));
  const nlohmann::json list = nlohmann::json::parse(text.substr(begin, text.rfind(']') + 1 - begin));
  int compared = 0;
  for (const auto& entry : list) {
    const auto ours = find_currency(entry.at("code").get<std::string>());
    if (!ours) continue;  // whether a code is known is compared with iso-codes
    CAPTURE(ours->code);
    CHECK(ours->minor_digits == entry.at("digits").get<int>());
    ++compared;
  }
  CHECK(compared > 150);
}

// [READ] Debian's iso-codes, /usr/share/iso-codes/json/iso_4217.json. Codes that came or went after one edition or the
// other are named: withdrawn ANG BGN CUC HRK SLL ZWL, new XAD XCG ZWG [MEM].
TEST_CASE("the currency codes are those of iso-codes") {
  std::ifstream file{"/usr/share/iso-codes/json/iso_4217.json"};
  if (!file) {
    WARN("SKIPPED: iso-codes is not installed, so the currency codes were not compared with it");
    return;
  }
  const std::set<std::string> without_minor_unit{"XAG", "XAU", "XBA", "XBB", "XBC", "XBD", "XDR",
                                                 "XPD", "XPT", "XSU", "XTS", "XUA", "XXX"};
  const std::set<std::string> changed{"ANG", "BGN", "CUC", "HRK", "SLL", "ZWL", "XAD", "XCG", "ZWG"};
  std::set<std::string> theirs;
  const nlohmann::json list = nlohmann::json::parse(file);
  for (const auto& entry : list.at("4217")) theirs.insert(entry.at("alpha_3").get<std::string>());
  REQUIRE(theirs.size() > 150);
  for (const std::string& code : theirs) {
    CAPTURE(code);
    CHECK((find_currency(code).has_value() || without_minor_unit.count(code) == 1 || changed.count(code) == 1));
  }
  for (const Currency& each : all_currencies()) {
    CAPTURE(each.code);
    CHECK((theirs.count(each.code) == 1 || changed.count(each.code) == 1));
    CHECK(without_minor_unit.count(each.code) == 0);
  }
}

// [READ] HMRC manual VATREC12030, below half a penny down, from half a penny up; Reg. (EC) 1103/97 art. 5 likewise.
TEST_CASE("half a penny is rounded up, less is rounded down") {
  const Currency gbp = find_currency("GBP").value();
  CHECK(to_minor(decimal("0.0049"), gbp) == 0);
  CHECK(to_minor(decimal("0.005"), gbp) == 1);
  CHECK(to_minor(decimal("0.0051"), gbp) == 1);
  CHECK(to_minor(decimal("12.34499999"), gbp) == 1234);
  CHECK(to_minor(decimal("12.345"), gbp) == 1235);
}

// [READ] Java SE 8, documentation of RoundingMode: the columns UP, DOWN, HALF_UP and HALF_EVEN.
TEST_CASE("rounding modes agree with a published table") {
  struct Row {
    std::string input;
    std::int64_t up;
    std::int64_t down;
    std::int64_t half_up;
    std::int64_t half_even;
  };
  const auto row = GENERATE(values<Row>({
      {"5.5", 6, 5, 6, 6},
      {"1.6", 2, 1, 2, 2},
      {"1.1", 2, 1, 1, 1},
      {"-1.0", -1, -1, -1, -1},
      {"-1.6", -2, -1, -2, -2},
      {"-2.5", -3, -2, -3, -2},
  }));
  CAPTURE(row.input);
  const Currency whole = find_currency("JPY").value();
  CHECK(to_minor(decimal(row.input), whole, MoneyRounding::up) == row.up);
  CHECK(to_minor(decimal(row.input), whole, MoneyRounding::down) == row.down);
  CHECK(to_minor(decimal(row.input), whole, MoneyRounding::half_up) == row.half_up);
  CHECK(to_minor(decimal(row.input), whole, MoneyRounding::half_even) == row.half_even);
}

// [DER] what binary doubles get wrong (2.675 as a double gives 2.67).
TEST_CASE("decimal halves are halves") {
  const Currency usd = find_currency("USD").value();
  const auto half_even = MoneyRounding::half_even;
  CHECK(to_minor(decimal("0.125"), usd) == 13);
  CHECK(to_minor(decimal("0.125"), usd, half_even) == 12);
  CHECK(to_minor(decimal("0.875"), usd) == 88);
  CHECK(to_minor(decimal("1.005"), usd) == 101);
  CHECK(to_minor(decimal("1.005"), usd, half_even) == 100);
  CHECK(to_minor(decimal("2.675"), usd) == 268);
  CHECK(to_minor(decimal("2.675"), usd, half_even) == 268);
}

// [DER] three lines of 1.11 at 20 %; that lines and total may differ by pennies is an accounts vendor's note [READ].
TEST_CASE("tax rounded by line and by total may differ by a penny") {
  const Currency gbp = find_currency("GBP").value();
  const Ratio line = multiply(decimal("1.11"), decimal("0.20")).value();
  CHECK(3 * to_minor(line, gbp).value() == 66);
  CHECK(to_minor(multiply(line, 3).value(), gbp) == 67);
}

// ---- Dates

// RFC 3339 sec. 5.8: 1985-04-12 [2ND]; 1996-12-19T16:39:57-08:00 = 1996-12-20T00:39:57Z [MEM]. Day counts [DER].
TEST_CASE("the days of RFC 3339's examples are read") {
  CHECK(to_text(date("1985-04-12")) == "1985-04-12");
  CHECK(date("1985-04-12").days == 5580);
  CHECK(date("1996-12-19").days == 9849);
  CHECK(days_between(date("1996-12-19"), date("1996-12-20")) == 1);
  CHECK_FALSE(parse_date("1985-04-12T23:20:50.52Z"));  // a full-date only
}

// The Gregorian rule of leap years.
TEST_CASE("2000 had a 29 February, 1900 and 2023 had none") {
  CHECK(parse_date("2000-02-29"));
  CHECK(parse_date("2024-02-29"));
  CHECK_FALSE(parse_date("1900-02-29"));
  CHECK_FALSE(parse_date("2023-02-29"));
}
