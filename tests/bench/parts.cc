// The parts of the engine, one after the other, each alone: a visit of the example house (a profile of four layers).
//   cmake --build build --target bench_parts && build/tests/bench/bench_parts      in the project's folder
// What a part takes is made before its clock starts. `nodes`, `expression`, `profile` and `visit` are the reader's.
#include <benchmark/benchmark.h>

#include <cstdio>

#include "engine/estimate/estimate.h"
#include "engine/judge/came_in.h"
#include "engine/judge/clean.h"
#include "engine/judge/quick_judge.h"
#include "engine/judge/sourness.h"
#include "engine/paper/estimate_page.h"
#include "engine/paper/work_page.h"
#include "engine/stringline.h"
#include "engine/syntax/parse_expr.h"
#include "engine/syntax/read_profile.h"
#include "engine/syntax/read_visit.h"
#include "engine/syntax/read_yaml.h"
#include "tests/support/scalar.h"

namespace {

using namespace stringline;

constexpr const char* visit_file = "examples/harrow_lane/visits/s03c_after_the_nut.yaml";
constexpr const char* profile_file = "profiles/electric_common.yaml";
const Date today = *parse_date("2026-09-01");

// The example visit, opened once.
struct Example {
  Sources sources;
  Diagnostics diagnostics;
  HouseBook book{{"profiles"}, sources, diagnostics};
  std::unique_ptr<const OpenVisit> visit = open_visit(book, {visit_file, {}, {}, today}, diagnostics);
  std::vector<const ProfileTree*> layers = *book.layers(*visit->tree->profile);
  Plan plan = make_plan(visit->program, visit->judgement);
  EstimateInput priced{visit->program, *visit->house, *visit->tree, visit->judgement, plan, today};
  std::vector<CleanSide> clean = clean_sides(visit->program, visit->judgement);
  std::vector<SourChord> chords = sourness(visit->program, visit->judgement);
  std::optional<Judgement> before = came_in(visit->program, nullptr);
};

Example& example() {
  static Example one;
  return one;
}

void nodes(benchmark::State& state) {
  const std::string text = read_file(profile_file);
  for (auto _ : state) {
    Sources sources;
    Diagnostics out;
    benchmark::DoNotOptimize(read_yaml(sources.add(profile_file, text), sources, out));
  }
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(text.size()));
}

void expression(benchmark::State& state) {
  const Node node =
      test::scalar("any(saddle_proud under 3 mm) and not (action.bass - action.treble over 0.4 mm or style is pick)");
  Diagnostics out;
  for (auto _ : state) benchmark::DoNotOptimize(parse_expression(node, out));
}

void profile(benchmark::State& state) {
  Sources sources;
  Diagnostics out;
  const auto node = read_yaml(sources.add(profile_file, read_file(profile_file)), sources, out);
  for (auto _ : state) benchmark::DoNotOptimize(read_profile(*node, out));
}

void visit(benchmark::State& state) {
  Sources sources;
  Diagnostics out;
  const auto node = read_yaml(sources.add(visit_file, read_file(visit_file)), sources, out);
  for (auto _ : state) benchmark::DoNotOptimize(read_visit(*node, out));
}

void check_a_visit(benchmark::State& state) {
  Example& one = example();
  Diagnostics out;
  for (auto _ : state) benchmark::DoNotOptimize(check({one.visit->house, one.layers, one.visit->tree}, out));
}

void judge_in_full(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(judge(example().visit->program, {today, nullptr}));
}

void judge_for_many(benchmark::State& state) {
  const Program& program = example().visit->program;
  QuickJudge quick(program);
  Readings record = quick.blank();
  for (const Entry& entry : program.log) {
    for (const ReadEvent& event : entry.read) record.event(program, event);
  }
  for (auto _ : state) benchmark::DoNotOptimize(&quick.judge(record));
  if (quick.asked_full() > 0) state.SetLabel("in full: " + quick.refused());
}

void plan(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(make_plan(example().visit->program, example().visit->judgement));
}

void estimate(benchmark::State& state) {
  Diagnostics out;
  for (auto _ : state) benchmark::DoNotOptimize(make_estimate(example().priced, out));
}

void page_of_the_bench(benchmark::State& state) {
  const Example& one = example();
  const WorkPageHead head{"visit", "owner", "", ""};
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        work_page(one.visit->program, one.visit->judgement, one.plan, head, {one.clean, one.chords, one.before}));
  }
}

void page_of_the_owner(benchmark::State& state) {
  Diagnostics out;
  const auto bill = make_estimate(example().priced, out);
  for (auto _ : state) benchmark::DoNotOptimize(estimate_page(*bill, example().priced, example().clean));
}

BENCHMARK(nodes);
BENCHMARK(expression);
BENCHMARK(profile);
BENCHMARK(visit);
BENCHMARK(check_a_visit);
BENCHMARK(judge_in_full);
BENCHMARK(judge_for_many);
BENCHMARK(plan);
BENCHMARK(estimate);
BENCHMARK(page_of_the_bench);
BENCHMARK(page_of_the_owner);

}  // namespace

int main(int count, char** words) {
  benchmark::Initialize(&count, words);
  if (example().visit == nullptr) {
    std::fputs(render(example().diagnostics, example().sources, false).c_str(), stderr);
    return 1;
  }
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
