// See page_parts.h.
#include "engine/paper/page_parts.h"

namespace stringline {

void page_entries(HtmlWriter& out, const std::vector<std::pair<std::string, std::string>>& entries) {
  if (entries.empty()) return;
  out.open("dl");
  for (const auto& [word, text] : entries) out.leaf("dt", word).leaf("dd", text);
  out.close();
}

void page_table(HtmlWriter& out, const std::vector<std::string>& heads,
                const std::vector<std::vector<std::string>>& rows) {
  constexpr std::size_t few = 12;  // rows that stay on one sheet
  out.open("table", {{"class", rows.size() > few ? "stack" : "stack whole"}});
  out.open("thead").open("tr");
  for (const std::string& head : heads) out.leaf("th", head, {{"scope", "col"}});
  out.close().close().open("tbody");
  for (const auto& row : rows) {
    out.open("tr");
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i == 0)
        out.leaf("th", row[i], {{"scope", "row"}});
      else
        out.leaf("td", row[i], {{"data-head", heads[i]}});
    }
    out.close();
  }
  out.close().close();
}

}  // namespace stringline
