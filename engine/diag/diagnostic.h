// What is wrong in a file, told to its author. What a correct profile says about an instrument is a verdict, never this.
//
// One cause, one diagnostic: a pass that could not read something marks it as already reported instead of reporting it again.
// Texts: lower case, no final period, the author's own words in 'quotes', terms of the language and never of C++.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "engine/text/span.h"

namespace stringline {

enum class Code : std::uint16_t {
#define STRINGLINE_DIAGNOSTIC(name, id, severity, summary) name,
#include "engine/diag/catalog.def"
#undef STRINGLINE_DIAGNOSTIC
};

enum class Severity : std::uint8_t {
  error,    // E: nothing is worked out from this file
  warning,  // W: probably a slip
  note,     // N: meant so, perhaps; worth knowing
};

struct CodeInfo {
  Code code;
  std::string_view name;  // "unknown_key"
  std::string_view id;    // "E301"; never changes its meaning
  Severity severity;
  std::string_view summary;  // one line for the manual
};

[[nodiscard]] const CodeInfo& info(Code code);
[[nodiscard]] const std::vector<CodeInfo>& all_codes();

struct Related {
  Span span;
  std::string label;  // "first written here"
};

struct Diagnostic {
  Code code{};
  Span span;
  std::string message;
  std::string hint;  // what to write instead; may be empty
  std::vector<Related> related;
};

class Diagnostics {
 public:
  // The first mistake, and the first warning, too many is told as that.
  void report(Code code, Span span, std::string message, std::string hint = {}, std::vector<Related> related = {});

  // All that another reader found, as if it were reported here.
  void report_all(const Diagnostics& found);

  // Told of as many mistakes as one run tells (limits.def); what is reported after that is counted and let go.
  [[nodiscard]] bool is_full() const;
  [[nodiscard]] bool has_errors() const { return errors_ > 0; }
  [[nodiscard]] std::size_t error_count() const { return errors_; }
  [[nodiscard]] const std::vector<Diagnostic>& list() const { return list_; }
  // By source, place and code, equal ones once: the order in which people read them.
  [[nodiscard]] std::vector<Diagnostic> sorted() const;

 private:
  std::vector<Diagnostic> list_;
  std::size_t errors_ = 0;
  std::size_t remarks_ = 0;  // warnings and notes
};

}  // namespace stringline
