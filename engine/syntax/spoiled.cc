// See spoiled.h.
#include "engine/syntax/spoiled.h"

#include <algorithm>
#include <array>

namespace stringline {
namespace {

bool inside(Span part, Span place) {
  return part.source == place.source && part.begin <= place.begin && place.end <= part.end;
}

bool is_word(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_'; }

// "Loosen rod" was meant as loosen_rod; of nut_gap.wound the reading is nut_gap.
std::string name_in(const std::string& key) {
  std::string name = key.substr(0, key.find('.'));
  for (char& c : name) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    if (!is_word(c)) c = '_';
  }
  return name;
}

Span whole(const MapEntry& entry) {
  return {entry.key.span.source, entry.key.span.begin, std::max(entry.key.span.end, entry.value.span.end)};
}

// What stands here decides how everything else reads.
bool decides_all(std::string_view section, std::string_view name) {
  constexpr std::array<std::string_view, 4> harmless{"id", "label", "serial", "year"};
  if (section == "facts" || section == "choices") return true;
  return section == "instrument" && std::find(harmless.begin(), harmless.end(), name) == harmless.end();
}

void spoil(const MapEntry& section, Span place, Spoiled& spoiled) {
  bool found = false;
  for (const MapEntry& entry : section.value.entries) {
    if (!inside(whole(entry), place)) continue;
    found = true;
    const std::string name = name_in(entry.key.text);
    spoiled.parts.push_back(whole(entry));
    if (!name.empty()) spoiled.names.insert(name);
    spoiled.everything = spoiled.everything || decides_all(section.key.text, name);
  }
  for (const Node& item : section.value.items) {
    if (!inside(item.span, place)) continue;
    found = true;
    spoiled.parts.push_back(item.span);
    spoiled.everything = spoiled.everything || decides_all(section.key.text, "");
  }
  if (found || section.value.is_scalar()) return;
  // The whole section was not read.
  for (const MapEntry& entry : section.value.entries) spoiled.names.insert(name_in(entry.key.text));
  const bool empty = section.value.entries.empty() && section.value.items.empty();
  spoiled.everything = spoiled.everything || empty || decides_all(section.key.text, "");
}

}  // namespace

bool Spoiled::holds(Span span) const {
  return std::any_of(parts.begin(), parts.end(), [&](Span part) { return inside(part, span); });
}

bool Spoiled::concerns(std::string_view message) const {
  return std::any_of(names.begin(), names.end(), [&](const std::string& name) {
    for (std::size_t at = message.find(name); !name.empty() && at != std::string_view::npos;
         at = message.find(name, at + 1)) {
      const std::size_t end = at + name.size();
      if ((at == 0 || !is_word(message[at - 1])) && (end == message.size() || !is_word(message[end]))) return true;
    }
    return false;
  });
}

void Spoiled::add(const Spoiled& other) {
  parts.insert(parts.end(), other.parts.begin(), other.parts.end());
  names.insert(other.names.begin(), other.names.end());
  any = any || other.any;
  everything = everything || other.everything;
}

Spoiled spoiled_parts(const Node& document, const Diagnostics& mistakes, std::size_t first) {
  Spoiled spoiled;
  for (std::size_t i = first; i < mistakes.list().size(); ++i) {
    const Diagnostic& mistake = mistakes.list()[i];
    if (info(mistake.code).severity != Severity::error) continue;
    spoiled.any = true;
    const auto section = std::find_if(document.entries.begin(), document.entries.end(), [&](const MapEntry& entry) {
      return inside(entry.key.span, mistake.span) || inside(entry.value.span, mistake.span);
    });
    if (section == document.entries.end() || section == document.entries.begin())
      spoiled.everything = true;  // what the file is, or what it lacks
    else
      spoil(*section, mistake.span, spoiled);
  }
  return spoiled;
}

}  // namespace stringline
