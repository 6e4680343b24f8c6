// muParser: all rules in one parser, separated by commas, its variables bound to one record after another.
#include <muParser.h>

#include <algorithm>
#include <stdexcept>

#include "tests/bench/contender.h"

int main(int, char** words) {
  const std::string forms = words[2];
  const auto records = bench::records_of(words[1], forms);
  const auto fields = bench::fields_of(forms);
  std::array<double, bench::reading_count> values{};
  double style = 0;
  mu::Parser parser;
  for (std::size_t at = 0; at < fields.size(); ++at) parser.DefineVar(fields[at].flat(), &values[at]);
  parser.DefineVar("style", &style);
  std::string all;
  for (const std::string& rule : bench::lines_of(forms + "/rules.muparser")) all += (all.empty() ? "" : ", ") + rule;
  parser.SetExpr(all);
  return bench::serve(records.size(), [&](bench::Verdicts& verdicts) {
    for (std::size_t at = 0; at < records.size(); ++at) {
      values = records[at].values;
      style = static_cast<double>(records[at].style);
      int count = 0;
      const double* kept = parser.Eval(count);
      if (count != static_cast<int>(bench::rule_count)) throw std::runtime_error("not one result a rule");
      verdicts[at] = 0;
      for (std::size_t rule = 0; rule < bench::rule_count; ++rule)
        verdicts[at] |= std::uint64_t{kept[rule] > 0} << rule;
    }
  });
}
