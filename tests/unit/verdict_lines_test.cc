// Lines of JSON straight to verdicts, against the whole way through reader, check and judge; and what is not taken straight.
#include "engine/book/verdict_lines.h"

#include <fmt/format.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

#include "engine/book/visit_stream.h"
#include "engine/book/world.h"
#include "engine/diag/render.h"
#include "engine/paper/verdict_line.h"

using namespace stringline;

namespace {

// A folder with one profile, gone with it.
struct Shelf {
  std::filesystem::path folder =
      std::filesystem::temp_directory_path() / fmt::format("stringline_lines_{}", ::getpid());

  Shelf() {
    std::filesystem::create_directories(folder);
    write_file((folder / "stick.yaml").string(), R"yaml(profile: stick
facts: {tuning: [E4, B3, G3, D3, A2, E2]}
choices: {style: [soft, hard]}
readings:
  relief: {is: length, read_to: 1 thou, plausible: 0 .. 1.5 mm}
  warm: {is: temperature}
  level: {is: number}
  sound: {is: [good, cracked]}
  tuned: {is: truth}
  gap: {per: string, is: length}
  last: {is: gap.1 - gap.6}
targets:
  relief: {range: {by style: {soft: 0.1 .. 0.2 mm, hard: 0.2 .. 0.3 mm}}}
  level: {range: 1 .. 2}
  gap: {range: 0.3 mm .. 0.5 mm}
  last: {range: -0.1 mm .. 0.1 mm}
rules:
  cold: {when: warm under 18 degC, say: so}
  broken: {when: sound is cracked and not tuned, say: so}
  uneven: {when: max(gap) - min(gap) over 0.1 mm, say: so}
)yaml");
  }
  ~Shelf() { std::filesystem::remove_all(folder); }
};

std::string line_of(const std::string& style, const std::string& read) {
  return fmt::format(
      R"({{"visit": "a", "profile": "stick", "player": {{"style": "{}"}}, "log": [{{"date": "2026-03-02", "read": {{{}}}}}]}})",
      style, read);
}

struct Both {
  Shelf shelf;
  VisitStream stream{{shelf.folder.string()}, "", std::nullopt};
  VerdictLines lines;

  // What the whole way says of a line; empty: it has mistakes. The short way is told.
  std::string whole(const std::string& line) {
    auto found = stream.open({"line", "", line});
    if (!found.open) return "";
    lines.learn(*found.open, found.told, "[]");
    return VerdictPaper(found.open->program)
        .line("line", found.open->program.visit, "[]", verdicts_of(found.open->judgement));
  }
  // What the short way says; empty: it does not take the line.
  std::string straight(const std::string& line) {
    const auto taken = lines.take(line);
    return taken ? VerdictPaper(taken->kind->program)
                       .line("line", taken->visit, "[]", taken->kind->judge.judge(taken->readings))
                 : "";
  }
  // Both styles have been met twice.
  void meet() {
    for (const char* style : {"soft", "hard", "soft", "hard"}) {
      const std::string line = line_of(style, R"("level": 1)");
      CHECK(straight(line).empty());
      CHECK_FALSE(whole(line).empty());
    }
  }
};

}  // namespace

TEST_CASE("a plain line of JSON gets the verdicts that it gets the whole way") {
  Both both;
  both.meet();
  std::mt19937 random(20'261'204);
  const auto below = [&](unsigned n) { return random() % n; };
  for (int i = 0; i < 300; ++i) {
    std::string read;
    const auto say = [&](const std::string& what) { read += (read.empty() ? "" : ", ") + what; };
    if (below(4) > 0) say(fmt::format(R"("relief": "{}.{:02} mm")", 0, below(40)));
    if (below(4) > 0) say(fmt::format(R"("warm": "{} degC")", 15 + below(8)));
    if (below(4) > 0) say(fmt::format(R"("level": {}{}.{:03})", below(2) == 0 ? "-" : "", below(3), below(1000)));
    if (below(4) > 0) say(below(2) == 0 ? R"("sound": "good")" : R"("sound": "cracked")");
    if (below(4) > 0) say(below(2) == 0 ? R"("tuned": true)" : R"("tuned": false)");
    std::string gaps;
    for (unsigned string = 1; string <= 6; ++string) {
      if (below(12) > 0) gaps += fmt::format(R"({}"{}": "{} thou")", gaps.empty() ? "" : ", ", string, 10 + below(12));
    }
    if (below(8) > 0) say("\"gap\": {" + gaps + "}");
    const std::string line = line_of(below(2) == 0 ? "soft" : "hard", read);
    INFO(line);
    const std::string straight = both.straight(line);
    REQUIRE_FALSE(straight.empty());
    REQUIRE(straight == both.whole(line));
  }
}

TEST_CASE("a line with anything unusual in it goes the whole way") {
  Both both;
  both.meet();
  const std::string good = line_of("soft", R"("level": 1.5)");
  REQUIRE_FALSE(both.straight(good).empty());
  const auto with = [&](const std::string& old, const std::string& instead) {
    std::string line = good;
    return line.replace(line.find(old), old.size(), instead);
  };
  const std::string unusual = GENERATE_COPY(values<std::string>({
      with("1.5", "15e-1"),
      with("1.5", "01.5"),
      with("1.5", "null"),
      with("1.5", "\"1.5 mm\""),
      with("1.5", "[1.4, 1.6]"),
      with("1.5", "1.5, \"level\": 1.5"),
      with("1.5", "1.5, \"relief\": 0.2"),
      with("1.5", "1.5, \"relief\": \"14 mm\""),
      with("1.5", "1.5, \"relief\": \"1/64 in\""),
      with("1.5", "1.5, \"gap\": {\"all\": \"1 mm\"}"),
      with("1.5", "1.5, \"gap\": {\"E4\": \"1 mm\"}"),
      with("1.5", "1.5, \"last\": \"1 mm\""),
      with("1.5", "1.5, \"laast\": 1"),
      with("1.5", "0.1234567"),
      with("2026-03-02", "2026-02-30"),
      with("}]}", "}, {\"closed\": true}]}"),
      with("\"read\"", "\"note\": \"so\", \"read\""),
      with("\"date\": \"2026-03-02\", ", ""),
      with("\"a\"", "\"\""),
      with("\"log\"", "\"due\": \"2026-03-03\", \"log\""),
      with("\"stick\"", "\"other\""),
      good + "x",
      good.substr(0, 40),
      with("\"visit\": \"a\", ", ""),
      with("soft", "loud"),
  }));
  CAPTURE(unusual);
  CHECK(both.straight(unusual).empty());
}
