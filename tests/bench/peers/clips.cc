// CLIPS: a rule for each rule that fires when it is broken, a fact for each record, asserted, run and retracted.
extern "C" {
#include <clips/clips.h>
}
// Its headers leave small words behind as macros.
#undef VOID
#undef TRUE
#undef FALSE

#include <stdexcept>

#include "tests/bench/contender.h"

namespace {

std::uint64_t broken = 0;

void note_broken(void* clips) { broken |= std::uint64_t{1} << EnvRtnLong(clips, 1); }

// The slots of a record as CLIPS holds them, made once.
std::vector<std::vector<DATA_OBJECT>> slots_of(void* clips, const std::vector<bench::Record>& records) {
  std::vector<std::vector<DATA_OBJECT>> all;
  for (const auto& record : records) {
    std::vector<DATA_OBJECT> slots(bench::reading_count + 1);
    slots[0].type = INTEGER;
    slots[0].value = EnvAddLong(clips, static_cast<long long>(record.style));
    IncrementIntegerCount(static_cast<INTEGER_HN*>(slots[0].value));
    for (std::size_t at = 0; at < bench::reading_count; ++at) {
      slots[at + 1].type = FLOAT;
      slots[at + 1].value = EnvAddDouble(clips, record.values[at]);
      IncrementFloatCount(static_cast<FLOAT_HN*>(slots[at + 1].value));
    }
    all.push_back(std::move(slots));
  }
  return all;
}

}  // namespace

int main(int, char** words) {
  const std::string forms = words[2];
  const auto records = bench::records_of(words[1], forms);
  std::vector<std::string> names{"style"};
  for (const auto& field : bench::fields_of(forms)) names.push_back(field.flat());
  void* clips = CreateEnvironment();
  EnvDefineFunction2(clips, "broken", 'v', PTIEF note_broken, "note_broken", "11l");
  if (EnvLoad(clips, (forms + "/rules.clp").c_str()) != 1) throw std::runtime_error("CLIPS does not take the rules");
  void* record_template = EnvFindDeftemplate(clips, "record");
  auto slots = slots_of(clips, records);
  return bench::serve(records.size(), [&](bench::Verdicts& verdicts) {
    constexpr std::uint64_t all = (std::uint64_t{1} << bench::rule_count) - 1;
    for (std::size_t at = 0; at < records.size(); ++at) {
      broken = 0;
      void* fact = EnvCreateFact(clips, record_template);
      for (std::size_t slot = 0; slot < names.size(); ++slot)
        EnvPutFactSlot(clips, fact, names[slot].c_str(), &slots[at][slot]);
      void* asserted = EnvAssert(clips, fact);
      EnvRun(clips, -1);
      EnvRetract(clips, asserted);
      verdicts[at] = all & ~broken;
    }
  });
}
