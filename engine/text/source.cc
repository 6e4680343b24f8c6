#include "engine/text/source.h"

#include <algorithm>
#include <utility>

namespace stringline {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool begins_code_point(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

// Where the first character a reader sees stands.
std::size_t visible_start(std::string_view text) {
  return text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
}

}  // namespace

SourceId Sources::add(std::string path, std::string text) {
  Entry entry;
  entry.line_starts.push_back(visible_start(text));
  for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 1)) {
    entry.line_starts.push_back(at + 1);
  }
  entry.path = std::move(path);
  entry.text = std::move(text);
  entries_.push_back(std::move(entry));
  return static_cast<SourceId>(entries_.size() - 1);
}

void Sources::forget(SourceId id) {
  std::string().swap(entries_.at(id).text);  // an assigned empty text would keep the room of the old one
  entries_.at(id).line_starts = std::vector<std::size_t>(1, 0);
}

std::string_view Sources::path(SourceId id) const { return entries_.at(id).path; }

std::string_view Sources::text(SourceId id) const { return entries_.at(id).text; }

Position Sources::position(SourceId id, std::size_t offset) const {
  const Entry& entry = entries_.at(id);
  const auto& starts = entry.line_starts;
  offset = std::clamp(offset, starts.front(), std::max(starts.front(), entry.text.size()));
  const auto after = std::upper_bound(starts.begin(), starts.end(), offset);
  const auto index = static_cast<std::size_t>(after - starts.begin()) - 1;
  const std::string_view before = std::string_view(entry.text).substr(starts[index], offset - starts[index]);
  const auto characters = std::count_if(before.begin(), before.end(), begins_code_point);
  return {index + 1, static_cast<std::size_t>(characters) + 1};
}

std::string_view Sources::line(SourceId id, std::size_t number) const {
  const Entry& entry = entries_.at(id);
  if (number == 0 || number > entry.line_starts.size()) return {};
  const std::string_view text = entry.text;
  const std::size_t begin = entry.line_starts[number - 1];
  const bool last = number == entry.line_starts.size();
  std::string_view line = text.substr(begin, last ? std::string_view::npos : entry.line_starts[number] - begin - 1);
  if (!last && line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

}  // namespace stringline
