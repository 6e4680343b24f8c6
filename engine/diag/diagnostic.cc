#include "engine/diag/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <utility>

#include "engine/text/limits.h"

namespace stringline {
namespace {

auto reading_order(const Diagnostic& d) {
  return std::tuple(d.span.source, d.span.begin, d.span.end, static_cast<std::uint16_t>(d.code),
                    std::string_view(d.message));
}

}  // namespace

const std::vector<CodeInfo>& all_codes() {
  static const std::vector<CodeInfo> codes = {
#define STRINGLINE_DIAGNOSTIC(name, id, severity, summary) CodeInfo{Code::name, #name, id, Severity::severity, summary},
#include "engine/diag/catalog.def"
#undef STRINGLINE_DIAGNOSTIC
  };
  return codes;
}

const CodeInfo& info(Code code) { return all_codes().at(static_cast<std::size_t>(code)); }

void Diagnostics::report(Code code, Span span, std::string message, std::string hint, std::vector<Related> related) {
  const bool error = info(code).severity == Severity::error;
  std::size_t& count = error ? errors_ : remarks_;
  const std::size_t most = limits::now().mistakes;
  if (++count > most + 1) return;
  if (count > most) {
    const Code many = error ? Code::too_many_mistakes : Code::too_many_warnings;
    list_.push_back(
        {many,
         span,
         fmt::format("here are more than {} {}{}", most, error ? "mistake" : "warning", most == 1 ? "" : "s"),
         "mend the others first" + limits::or_allow_more("mistakes"),
         {}});
    return;
  }
  list_.push_back({code, span, std::move(message), std::move(hint), std::move(related)});
}

void Diagnostics::report_all(const Diagnostics& found) {
  for (const Diagnostic& each : found.list_) report(each.code, each.span, each.message, each.hint, each.related);
}

bool Diagnostics::is_full() const { return errors_ > limits::now().mistakes; }

std::vector<Diagnostic> Diagnostics::sorted() const {
  std::vector<Diagnostic> result = list_;
  std::stable_sort(result.begin(), result.end(),
                   [](const Diagnostic& a, const Diagnostic& b) { return reading_order(a) < reading_order(b); });
  const auto equal = [](const Diagnostic& a, const Diagnostic& b) { return reading_order(a) == reading_order(b); };
  result.erase(std::unique(result.begin(), result.end(), equal), result.end());
  return result;
}

}  // namespace stringline
