// See verdict_line.h.
#include "engine/paper/verdict_line.h"

#include <nlohmann/json.hpp>

#include "engine/paper/json.h"

namespace stringline {
namespace {

// By Verdict, Truth and RuleState.
constexpr std::array verdict_words{
    "within", "high", "low", "too_close_to_call", "not_read", "stale", "void", "target_unknown", "not_applicable"};
constexpr std::array gate_words{"closed", "open", "unknown"};
constexpr std::array stop_words{"clear", "stopped", "unknown"};
constexpr std::array rule_words{"fired", "clear", "unknown", "not_applicable", "error"};

std::string json_word(std::string_view text) { return Json(text).dump(-1, ' ', false, Json::error_handler_t::replace); }

// {"high": ["relief"], ..}, without those that nothing is.
template <class States, class Words>
void add_groups(std::string& out, std::string_view key, const std::vector<std::string>& names, const States& states,
                const Words& words) {
  out.append(",\"").append(key).append("\":{");
  bool first_group = true;
  for (std::size_t word = 0; word < words.size(); ++word) {
    bool first = true;
    for (std::size_t i = 0; i < names.size(); ++i) {
      if (static_cast<std::size_t>(states[i]) != word) continue;
      if (first) out.append(first_group ? "\"" : ",\"").append(words[word]).append("\":[");
      if (!first) out.push_back(',');
      out.append(names[i]);
      first = first_group = false;
    }
    if (!first) out.push_back(']');
  }
  out.push_back('}');
}

template <class Infos>
std::vector<std::string> names_of(const Infos& infos) {
  std::vector<std::string> names;
  for (const auto& each : infos) names.push_back(json_word(each.name));
  return names;
}

}  // namespace

VerdictPaper::VerdictPaper(const Program& program)
    : profile_(json_word(program.profile)),
      gates_(names_of(program.gates)),
      stops_(names_of(program.stops)),
      rules_(names_of(program.rules)) {
  for (const TargetInfo& target : program.targets) targets_.push_back(json_word(program.points[target.point].name));
}

std::string VerdictPaper::line(std::string_view from, std::string_view visit, std::string_view diagnostics,
                               const QuickJudgement& found) const {
  std::string out = R"({"stringline":{"shape":1,"command":"work"},"diagnostics":)";
  out.append(diagnostics).append(",\"from\":").append(json_word(from));
  out.append(",\"visit\":").append(json_word(visit)).append(",\"profile\":").append(profile_);
  add_groups(out, "verdicts", targets_, found.verdicts, verdict_words);
  add_groups(out, "gates", gates_, found.gates, gate_words);
  add_groups(out, "stops", stops_, found.stops, stop_words);
  add_groups(out, "rules", rules_, found.rules, rule_words);
  out.append("}\n");
  return out;
}

QuickJudgement verdicts_of(const Judgement& judgement) {
  QuickJudgement found;
  for (const TargetState& target : judgement.targets) found.verdicts.push_back(target.verdict);
  for (const TruthState& gate : judgement.gates) found.gates.push_back(gate.truth);
  for (const TruthState& stop : judgement.stops) found.stops.push_back(stop.truth);
  for (const RuleOutcome& rule : judgement.rules) found.rules.push_back(rule.state);
  return found;
}

}  // namespace stringline
