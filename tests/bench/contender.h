// What every compiled contender shares: its records in memory, and how it is asked to run.
//
// A contender prepares itself, says `ready` and the number of its records, and then obeys lines on standard input until they
// end: `verdicts` prints for each record a hexadecimal number in which bit 0 is set when rule 1 is kept, and so on; `time`
// runs over all records again and again for a tenth of a second and prints the seconds of one run. Seconds are the processor's,
// and side_by_side.py asks all contenders in turn: what else the machine does counts for little, and falls on all of them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace bench {

inline constexpr std::size_t reading_count = 60;
inline constexpr std::size_t rule_count = 60;

// A visit as a peer likes it: flat, in the order of forms/fields.txt.
struct Record {
  std::array<double, reading_count> values{};
  std::size_t style = 0;
};

struct Field {
  std::string name;
  std::string member;  // "3"; empty: read once
  [[nodiscard]] std::string flat() const { return member.empty() ? name : name + "_" + member; }
};

[[nodiscard]] std::vector<std::string> lines_of(const std::string& path);
[[nodiscard]] std::string text_of(const std::string& path);
[[nodiscard]] std::vector<Field> fields_of(const std::string& forms);
[[nodiscard]] const std::vector<std::string>& styles();
// A line of JSON with the keys of a visit.
[[nodiscard]] Record record_of(const std::string& line, const std::vector<Field>& fields);
[[nodiscard]] std::vector<Record> records_of(const std::string& path, const std::string& forms);

using Verdicts = std::vector<std::uint64_t>;

// `run` puts the verdicts on all records into its argument, which has a place for each.
int serve(std::size_t records, const std::function<void(Verdicts&)>& run);

}  // namespace bench
