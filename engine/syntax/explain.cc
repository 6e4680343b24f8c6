// Looks at the words round the place where reading stopped, and at the tables of habits.def. The order of the checks is the
// order of their certainty: a character that is no character of the language, a known habit, then what was wanted.
#include "engine/syntax/explain.h"

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "engine/diag/suggest.h"
#include "engine/syntax/parse_expr.h"
#include "engine/value/quantity.h"

namespace stringline {
namespace {

enum class Where : std::uint8_t { any, value, operation, range, row, number };

struct WordHabit {
  std::string_view written;
  Where where;
  std::string_view instead;
};
constexpr WordHabit word_habits[] = {
#define STRINGLINE_WORD_HABIT(written, where, instead) {written, Where::where, instead},
#include "engine/syntax/habits.def"
#undef STRINGLINE_WORD_HABIT
};

struct SignHabit {
  std::uint32_t code_point;
  std::string_view name;
  std::string_view instead;
};
constexpr SignHabit sign_habits[] = {
#define STRINGLINE_SIGN_HABIT(code_point, name, instead) {code_point, name, instead},
#include "engine/syntax/habits.def"
#undef STRINGLINE_SIGN_HABIT
};

struct UnitHabit {
  std::string_view written;
  std::string_view unit;
  std::string_view note;
};
constexpr UnitHabit unit_habits[] = {
#define STRINGLINE_UNIT_HABIT(written, unit, note) {written, unit, note},
#include "engine/syntax/habits.def"
#undef STRINGLINE_UNIT_HABIT
};

constexpr std::array<std::string_view, 6> signs_of_the_language{">=", "<=", "==", "!=", "..", "+-"};
constexpr std::size_t longest_quote = 40;

bool is_blank(char c) { return c == ' ' || c == '\n' || c == '\t'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }
bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

std::string lower_case(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) {
    if (is_upper(c)) c = static_cast<char>(c - 'A' + 'a');
  }
  return lower;
}

bool starts_with(std::string_view text, std::string_view start) { return text.substr(0, start.size()) == start; }

// The author's word for a message, cut when nobody would read it to its end.
std::string quoted(std::string_view word) {
  if (word == "\n") return "a line end";
  if (word == "\t") return "a tab";
  if (word.size() <= longest_quote) return fmt::format("'{}'", word);
  return fmt::format("'{}...'", word.substr(0, longest_quote));  // only words are long, and they are ASCII
}

bool counts(Where where, Place place) {
  switch (where) {
    case Where::any: return true;
    case Where::value: return place == Place::value;
    case Where::operation: return place != Place::value && place != Place::number;
    case Where::range: return place == Place::range;
    case Where::row: return place == Place::row;
    case Where::number: return place == Place::number;
  }
  return false;
}

const WordHabit* find_habit(std::string_view word, Place place) {
  const auto* const end = std::end(word_habits);
  const auto* const found = std::find_if(std::begin(word_habits), end, [&](const WordHabit& habit) {
    return habit.written == word && counts(habit.where, place);
  });
  return found == end ? nullptr : found;
}

// Bytes of the code point at `at`; a stray continuation byte is one of its own.
std::size_t code_point_size(std::string_view text, std::size_t at) {
  std::size_t size = 1;
  while (at + size < text.size() && size < 4 && !is_continuation(text[at]) && is_continuation(text[at + size])) ++size;
  return size;
}

std::size_t sign_size(std::string_view text, std::size_t at) {
  const std::string_view rest = text.substr(at);
  std::size_t size = code_point_size(text, at);
  for (const std::string_view sign : signs_of_the_language) {
    if (starts_with(rest, sign)) size = std::max(size, sign.size());
  }
  for (const WordHabit& habit : word_habits) {
    if (!is_word_char(habit.written.front()) && starts_with(rest, habit.written))
      size = std::max(size, habit.written.size());
  }
  return size;
}

std::string_view token_at(std::string_view text, std::size_t at) {
  if (at >= text.size()) return {};
  if (!is_word_char(text[at])) return text.substr(at, sign_size(text, at));
  std::size_t end = at;
  while (end < text.size() && is_word_char(text[end])) ++end;
  return text.substr(at, end - at);
}

std::string_view token_before(std::string_view text, std::size_t at) {
  const std::size_t end = end_of_previous(text, at);
  if (end == 0) return {};
  std::size_t begin = end - 1;
  if (!is_word_char(text[begin])) {
    while (begin > 0 && is_continuation(text[begin])) --begin;
    const bool pair = begin > 0 && std::find(signs_of_the_language.begin(), signs_of_the_language.end(),
                                             text.substr(begin - 1, 2)) != signs_of_the_language.end();
    return text.substr(pair ? begin - 1 : begin, pair ? 2 : end - begin);
  }
  while (begin > 0 && is_word_char(text[begin - 1])) --begin;
  return text.substr(begin, end - begin);
}

std::uint32_t decode(std::string_view bytes) {
  const auto first = static_cast<unsigned char>(bytes.front());
  std::uint32_t value = bytes.size() == 1 ? first : first & (0xFFU >> (bytes.size() + 1));
  for (const char c : bytes.substr(1)) value = (value << 6U) | (static_cast<unsigned char>(c) & 0x3FU);
  return value;
}

// What is there, and what its neighbours are.
struct Scene {
  std::string_view text;
  std::size_t at;
  std::string_view token;
  std::string_view before;
  std::string_view wanted;
  Place place;

  [[nodiscard]] std::size_t end() const { return at + token.size(); }
  [[nodiscard]] std::size_t begin_of_before() const { return static_cast<std::size_t>(before.data() - text.data()); }
};

std::optional<Mistake> foreign_character(const Scene& scene) {
  if (scene.token.empty() || static_cast<unsigned char>(scene.token.front()) < 0x80) return std::nullopt;
  const std::uint32_t code_point = decode(scene.token);
  for (const SignHabit& habit : sign_habits) {
    if (habit.code_point != code_point) continue;
    return Mistake{Code::foreign_character, scene.at, scene.end(), fmt::format("'{}' is {}", scene.token, habit.name),
                   std::string(habit.instead)};
  }
  return Mistake{Code::foreign_character, scene.at, scene.end(),
                 fmt::format("'{}' is no character of the language", scene.token),
                 "names have the letters a to z, digits and '_'"};
}

// €75: money carries no sign.
std::optional<Mistake> currency_sign(const Scene& scene) {
  constexpr std::array<std::string_view, 4> signs{"$", "\xE2\x82\xAC", "\xC2\xA3",
                                                  "\xC2\xA5"};  // dollar, euro, pound, yen
  if (std::find(signs.begin(), signs.end(), scene.token) == signs.end()) return std::nullopt;
  const std::size_t begin = std::min(scene.text.find_first_not_of(' ', scene.end()), scene.text.size());
  std::size_t end = begin;
  while (end < scene.text.size() && (is_digit(scene.text[end]) || scene.text[end] == '.' || scene.text[end] == ','))
    ++end;
  std::string sum(scene.text.substr(begin, end - begin));
  std::replace(sum.begin(), sum.end(), ',', '.');
  const std::string where = "the currency stands in currency: of the house";
  const Code code = scene.token == "$" ? Code::foreign_word : Code::foreign_character;
  return Mistake{code, scene.at, scene.end(), fmt::format("'{}' is a currency sign", scene.token),
                 sum.empty() ? "money is a bare number; " + where : fmt::format("write '{}'; {}", sum, where)};
}

// 1,5 mm: only where no list is open; inside one the comma parts two numbers.
std::optional<Mistake> decimal_comma(const Scene& scene) {
  const std::size_t at = scene.at;
  if (scene.token != "," || at == 0 || at + 1 >= scene.text.size()) return std::nullopt;
  if (!is_digit(scene.text[at - 1]) || !is_digit(scene.text[at + 1])) return std::nullopt;
  std::size_t begin = at;
  std::size_t end = at + 1;
  while (begin > 0 && is_digit(scene.text[begin - 1])) --begin;
  while (end < scene.text.size() && is_digit(scene.text[end])) ++end;
  const std::string_view left = scene.text.substr(begin, at - begin);
  const std::string_view right = scene.text.substr(at + 1, end - at - 1);
  std::string hint = fmt::format("write '{}.{}'", left, right);
  if (right.size() == 3) hint += fmt::format(", or '{}{}' if these are thousands", left, right);
  return Mistake{Code::bad_number, begin, end, fmt::format("'{},{}' has a comma in it", left, right), std::move(hint)};
}

// x is over 3, x is one of (a, b), x is not at least 3: the comparison is there already.
std::optional<Mistake> doubled_comparison(const Scene& scene) {
  const bool negated = scene.before == "not";
  if (scene.place != Place::value || (!negated && scene.before != "is")) return std::nullopt;
  if (negated && token_before(scene.text, scene.begin_of_before()) != "is") return std::nullopt;
  constexpr std::array<std::string_view, 4> comparisons{"over", "under", "at", "one"};
  constexpr std::array<std::string_view, 4> examples{"x over a", "x under a", "x at least a", "x one of (a, b)"};
  const auto* const found = std::find(comparisons.begin(), comparisons.end(), scene.token);
  if (found == comparisons.end()) return std::nullopt;
  const std::string_view example = examples[static_cast<std::size_t>(found - comparisons.begin())];
  return Mistake{Code::unexpected_token, scene.at, scene.end(),
                 fmt::format("'{}' follows on 'is{}', and both compare", scene.token, negated ? " not" : ""),
                 fmt::format("leave out 'is'{} {}", negated ? " and put 'not' in front: not" : ":", example)};
}

// 51 % RH
std::optional<Mistake> split_humidity(const Scene& scene) {
  if (scene.place == Place::value || scene.before != "%" || lower_case(scene.token) != "rh") return std::nullopt;
  return Mistake{Code::unit_spacing, scene.begin_of_before(), scene.end(),
                 "relative humidity is one unit, '%RH', without a space in it", "write '%RH'"};
}

std::optional<Mistake> habit_at(const Scene& scene, std::string_view word, Place place) {
  const WordHabit* const habit = word.empty() ? nullptr : find_habit(word, place);
  if (habit == nullptr) return std::nullopt;
  const auto begin = static_cast<std::size_t>(word.data() - scene.text.data());
  const bool after_is = place != Place::value && token_before(scene.text, begin) == "is" &&
                        habit->instead.find("x is") == std::string_view::npos;
  constexpr std::array<std::string_view, 7> signs{"..", "+-", "%", "#", "+", "-", "up"};
  const bool ours = is_reserved_word(word) || std::find(signs.begin(), signs.end(), word) != signs.end();
  return Mistake{ours ? Code::unexpected_token : Code::foreign_word, begin, begin + word.size(),
                 fmt::format("'{}' {}", word,
                             ours                         ? "can not stand here"
                             : is_word_char(word.front()) ? "is no word of the language"
                                                          : "is no sign of the language"),
                 std::string(habit->instead).append(after_is ? ", without 'is'" : "")};
}

// The word before is the unit of a number: in `9 in (a)` no habit is to blame for it.
bool is_unit_there(const Scene& scene) {
  if (scene.before.empty() || unit_meant(scene.before).empty()) return false;
  const std::size_t digits = end_of_previous(scene.text, scene.begin_of_before());
  return digits > 0 && is_digit(scene.text[digits - 1]);
}

std::optional<Mistake> known_habit(const Scene& scene) {
  if (auto found = habit_at(scene, scene.token, scene.place)) return found;
  if (scene.place == Place::value || scene.token.empty() || is_unit_there(scene)) return std::nullopt;
  return habit_at(scene, scene.before, scene.place);
}

std::string after(const Scene& scene) {
  return scene.before.empty() ? "" : fmt::format(" after {}", quoted(scene.before));
}

std::optional<Mistake> badly_named(const Scene& scene) {
  const bool member = scene.place == Place::row && starts_with(scene.wanted, "a member");
  if ((scene.place != Place::value && !member) || scene.token.empty()) return std::nullopt;
  const char first = scene.token.front();
  if (!is_upper(first) && first != '_') return std::nullopt;
  const bool like_pitch = first >= 'A' && first <= 'G' && scene.token.size() <= 2;
  const std::string hint = like_pitch
                               ? "a pitch is a capital, '#' or 'b' where it has one, and its octave: E2, Bb3, F#4"
                           : first == '_' ? "a name begins with a lower-case letter"
                                          : fmt::format("names are lower-case: '{}'", lower_case(scene.token));
  return Mistake{Code::unexpected_token, scene.at, scene.end(),
                 fmt::format("{} is neither a name nor a pitch", quoted(scene.token)), hint};
}

Code code_for(const Scene& scene) {
  if (scene.place == Place::range) return Code::bad_range;
  if (scene.place == Place::row) return Code::bad_row_key;
  return scene.place == Place::value && is_reserved_word(scene.token) ? Code::reserved_word : Code::unexpected_token;
}

// 6-9 thou: what was meant is a range.
std::string range_hint(std::string_view text) {
  const std::size_t dash = text.find('-', 1);
  if (dash == std::string_view::npos || !is_digit(text.front())) {
    return "write 'A .. B', 'A +- B', 'at least A' or 'at most B', each with 'aim V' where you want one";
  }
  const std::size_t left = end_of_previous(text, dash);
  const std::size_t right = std::min(text.find_first_not_of(' ', dash + 1), text.size());
  return fmt::format("write '{} .. {}'", text.substr(0, left), text.substr(right));
}

std::string default_hint(const Scene& scene) {
  if (scene.place == Place::range) return range_hint(scene.text);
  if (scene.place == Place::row)
    return "write a member, 'up to B', 'over A up to B', 'over A', 'from A' or 'otherwise'";
  if (scene.token.empty()) return {};
  if (code_for(scene) == Code::reserved_word) {
    return fmt::format("'{}' is a word of the language and can not be a name", scene.token);
  }
  if (scene.token == "\t") return "write a space";
  if (scene.token == "+") return "a number stands without a '+'";
  if (scene.token == ".") return "a number begins with a digit; what is not known is left out, or written 'unknown'";
  if (!starts_with(scene.wanted, "an operator")) return {};
  if (scene.token == "(") return "the '(' of a function follows its name without a space; else an operator is missing";
  const bool starts_value = is_word_char(scene.token.front()) && !is_reserved_word(scene.token);
  return starts_value ? "an operator, such as 'and', 'over' or '*', is missing before it" : "";
}

Mistake something_else(const Scene& scene) {
  const std::string found = scene.token.empty() ? "" : fmt::format(", found {}", quoted(scene.token));
  std::string message = fmt::format("expected {}{}{}", scene.wanted, after(scene), found);
  if (scene.text.find_first_not_of(" \n") == std::string_view::npos) message = fmt::format("expected {}", scene.wanted);
  return {code_for(scene), scene.at, scene.end(), std::move(message), default_hint(scene)};
}

bool is_ordinal(std::string_view word) {
  constexpr std::array<std::string_view, 7> ordinals{"th", "ths", "nd", "nds", "rd", "rds", "st"};
  return std::find(ordinals.begin(), ordinals.end(), word) != ordinals.end();
}

// Each number without zeros before it and without '_'; a point gets a digit before it and loses itself without one after.
std::string tidy_digits(std::string_view written) {
  std::string result;
  for (std::size_t i = 0; i < written.size(); ++i) {
    const char c = written[i];
    const bool first = result.empty() || !(is_digit(result.back()) || result.back() == '.');
    const bool digit_follows = i + 1 < written.size() && is_digit(written[i + 1]);
    if (c == '_' || (c == '0' && first && digit_follows) || (c == '.' && !digit_follows)) continue;
    if (c == ' ' && (result.empty() || result.back() == ' ')) continue;
    if (c == '.' && first) result += '0';
    result += c == '-' && i > 0 ? ' ' : c;
  }
  while (!result.empty() && result.back() == ' ') result.pop_back();
  return result;
}

// "5 64" with "ths" is 5/64 in; "3/64" with "th" is 3/64 in; "64" with "ths" alone one of them.
std::string ordinal_in_inches(std::string digits) {
  if (digits.find('/') != std::string::npos) return digits + " in";
  const std::size_t space = digits.find(' ');
  if (space == std::string::npos) return "1/" + digits + " in";
  digits[space] = '/';
  return digits + " in";
}

std::string list_units() {
  std::string list;
  for (const UnitInfo& unit : all_units()) {
    if (!unit.written.empty()) list.append(list.empty() ? "" : ", ").append(unit.written);
  }
  return list;
}

// Only letters of another size, or a near word of three letters or more: one letter is near to every other.
std::optional<std::string> near_unit(std::string_view word) {
  std::vector<std::string> names;
  for (const UnitInfo& unit : all_units()) {
    if (lower_case(unit.written) == lower_case(word)) return std::string(unit.written);
    if (!unit.written.empty()) names.emplace_back(unit.written);
  }
  return word.size() < 3 ? std::nullopt : nearest(word, names);
}

bool is_unit_habit(std::string_view word) {
  return std::any_of(std::begin(unit_habits), std::end(unit_habits),
                     [&](const UnitHabit& habit) { return habit.written == word; });
}

std::string unit_hint(std::string_view digits, std::string_view word) {
  if (is_ordinal(word)) return fmt::format("write '{}'", ordinal_in_inches(tidy_digits(digits)));
  if (const std::string_view meant = unit_meant(word); !meant.empty())
    return fmt::format("write '{} {}'", digits, meant);
  for (const UnitHabit& habit : unit_habits) {
    if (habit.written == word) return std::string(habit.note);
  }
  if (const auto near = near_unit(word)) return fmt::format("did you mean '{} {}'?", digits, *near);
  return fmt::format("the units are {}; to multiply, write '*'", list_units());
}

}  // namespace

std::size_t end_of_previous(std::string_view text, std::size_t at) {
  std::size_t end = std::min(at, text.size());
  while (end > 0 && is_blank(text[end - 1])) --end;
  return end;
}

Mistake explain_unexpected(std::string_view text, std::size_t at, std::string_view wanted, Place place) {
  const Scene scene{text, at, token_at(text, at), token_before(text, at), wanted, place};
  for (const auto check : {currency_sign, foreign_character, decimal_comma, doubled_comparison, split_humidity,
                           known_habit, badly_named}) {
    if (auto found = check(scene)) return *std::move(found);
  }
  return something_else(scene);
}

Mistake explain_unit(std::string_view text, std::size_t number, std::size_t unit, std::size_t end) {
  const std::string_view word = text.substr(unit, end - unit);
  const Scene scene{text, unit, word, {}, {}, Place::operation};
  if (!is_unit_habit(word)) {
    if (auto habit = habit_at(scene, word, Place::operation)) return *std::move(habit);
  }
  const std::string_view digits = text.substr(number, end_of_previous(text, unit) - number);
  return {Code::unknown_unit, unit, end, fmt::format("{} is no unit", quoted(word)), unit_hint(digits, word)};
}

std::string rewrite_number(std::string_view written) {
  std::size_t letters = written.size();
  while (letters > 0 && !is_digit(written[letters - 1]) && written[letters - 1] != '.') --letters;
  std::string digits = tidy_digits(written.substr(0, letters));
  std::string_view word = written.substr(letters);
  while (!word.empty() && is_blank(word.front())) word.remove_prefix(1);
  while (!word.empty() && word.front() == '_') word.remove_prefix(1);
  if (word.empty()) return digits;
  if (is_ordinal(word)) return ordinal_in_inches(std::move(digits));
  const std::string_view meant = unit_meant(word);
  return digits.append(" ").append(meant.empty() ? word : meant);
}

std::string_view unit_meant(std::string_view word) {
  if (const auto known = find_unit(word); known && *known != Unit::none) return info(*known).written;
  for (const UnitHabit& habit : unit_habits) {
    if (habit.written == word) return habit.unit;
  }
  return {};
}

}  // namespace stringline
