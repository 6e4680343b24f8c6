// See read_json.h. The library walks the text once and tells where each value stands.
#include "engine/syntax/read_json.h"

#include <fmt/format.h>
#include <simdjson.h>

#include <algorithm>
#include <map>
#include <string>
#include <string_view>
#include <utility>

#include "engine/diag/render.h"
#include "engine/syntax/yaml_bytes.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

using simdjson::ondemand::json_type;

// The text from here on is not read: why was told.
struct Stopped {};

std::string_view trimmed(std::string_view token) {
  const std::size_t end = token.find_last_not_of(" \t\r\n");
  return token.substr(0, end == std::string_view::npos ? 0 : end + 1);
}

// How many bytes the escape at the start of `raw` takes, and how many it stands for.
std::pair<std::size_t, std::size_t> escape(std::string_view raw) {
  if (raw.size() < 6 || raw[1] != 'u') return {2, 1};
  const unsigned long code = std::stoul(std::string(raw.substr(2, 4)), nullptr, 16);
  if (code >= 0xD800 && code < 0xDC00) return {12, 4};
  return {6, code < 0x80 ? 1 : code < 0x800 ? 2 : 3};
}

// As JSON writes it, of any size: what is too large or has an exponent is told by the reader of the value.
bool is_number(std::string_view text) {
  const auto digits = [&] {
    const std::size_t count = std::min(text.find_first_not_of("0123456789"), text.size());
    text.remove_prefix(count);
    return count;
  };
  const auto next_is = [&](std::string_view any) { return !text.empty() && any.find(text.front()) != any.npos; };
  if (next_is("-")) text.remove_prefix(1);
  const bool zero = next_is("0");
  const std::size_t whole = digits();
  if (whole == 0 || (zero && whole > 1)) return false;
  if (next_is(".")) {
    text.remove_prefix(1);
    if (digits() == 0) return false;
  }
  if (next_is("eE")) {
    text.remove_prefix(1);
    if (next_is("+-")) text.remove_prefix(1);
    if (digits() == 0) return false;
  }
  return text.empty();
}

class Reader {
 public:
  Reader(SourceId source, std::string_view text, Diagnostics& out) : source_(source), padded_(text), out_(out) {}

  Node document() {
    simdjson::ondemand::parser parser;
    auto begun = parser.iterate(padded_);
    if (begun.error() != simdjson::SUCCESS) can_not_begin();
    simdjson::ondemand::document document = std::move(begun).value_unsafe();
    parser_document_ = &document;
    if (good(document.type()) != json_type::object) unreadable(0, "a visit is an object: {\"visit\": ..}");
    simdjson::ondemand::value whole = good(document.get_value());
    Node node = value(whole, 1);
    const std::size_t behind = text().find_first_not_of(" \t\r\n", node.span.end);
    if (behind != std::string_view::npos) unreadable(behind, "one object fills the line");
    if (node.entries.empty())
      stop(Code::nothing_inside, node.span, "the object is empty",
           "a visit has an id and a profile: {\"visit\": \"a1\", \"profile\": \"flat_top\"}");
    return node;
  }

 private:
  template <class Result>
  auto good(Result result) -> std::remove_cvref_t<decltype(std::move(result).value_unsafe())> {
    if (result.error() != simdjson::SUCCESS) {
      const char* at = nullptr;
      const bool known =
          parser_document_ != nullptr && parser_document_->current_location().get(at) == simdjson::SUCCESS;
      unreadable(known ? place(at) : 0, usual_hint);
    }
    return std::move(result).value_unsafe();
  }

  static constexpr const char* usual_hint = "keys and texts stand in double quotes, and nothing follows the last brace";

  std::string_view text() const { return {padded_.data(), padded_.size()}; }

  // The library looks at all bytes and quotes before anything else, and then says no place.
  [[noreturn]] void can_not_begin() {
    std::size_t quote = std::string_view::npos;  // that opens the text that `at` is in
    for (std::size_t at = 0; at < text().size();) {
      const char c = text()[at];
      const CodePoint point = code_point_at(text(), at);
      const bool control = static_cast<unsigned char>(c) < 0x20 && quote != std::string_view::npos;
      if (!point.valid || control) refuse_byte(at);
      if (c == '"') quote = quote == std::string_view::npos ? at : std::string_view::npos;
      at += c == '\\' && at + 1 < text().size() && quote != std::string_view::npos && text()[at + 1] >= ' ' &&
                    text()[at + 1] < '\x7f'
                ? 2
                : point.length;
    }
    if (quote != std::string_view::npos)
      unreadable(quote, "this text is not closed: its second double quote is missing");
    unreadable(0, usual_hint);
  }
  [[noreturn]] void refuse_byte(std::size_t at) {
    const CodePoint point = code_point_at(text(), at);
    const auto byte = static_cast<unsigned char>(text()[at]);
    if (!point.valid)
      stop(Code::invalid_utf8, span(at, at + 1), fmt::format("the byte \\x{:02X} is no UTF-8 here", byte),
           "lines are read as UTF-8");
    stop(Code::control_character, span(at, at + 1),
         fmt::format("the character U+{:04X} can not stand here as it is", byte),
         byte == '\t' ? "a tab in a text is written \\t" : "leave it out");
  }

  std::size_t place(const char* at) const {
    return std::min(static_cast<std::size_t>(at - padded_.data()), padded_.size());
  }
  Span span(std::size_t begin, std::size_t end) const {
    return {source_, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
  }
  Span span(std::string_view token) const { return span(place(token.data()), place(token.data()) + token.size()); }

  [[noreturn]] void stop(Code code, Span where, std::string message, std::string hint) {
    out_.report(code, where, std::move(message), std::move(hint));
    throw Stopped{};
  }
  [[noreturn]] void unreadable(std::size_t at, const char* hint) {
    const auto control = [](char c) {
      return static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\r' && c != '\n';
    };
    if (at < text().size() && control(text()[at])) refuse_byte(at);
    stop(Code::unreadable_json, span(at, padded_.size()), "the text can not be read as JSON from here on", hint);
  }

  Node value(simdjson::ondemand::value& from, std::size_t depth) {
    const json_type type = good(from.type());
    if (++nodes_ > limits::now().nodes) {
      stop(Code::too_many_nodes, span(from.raw_json_token()),
           fmt::format("the line holds more than {} keys, values, maps and lists", limits::now().nodes),
           "split it" + limits::or_allow_more("nodes"));
    }
    if (type == json_type::object || type == json_type::array) return collection(from, type, depth);
    if (type == json_type::string) return quoted(trimmed(from.raw_json_token()), from.get_string());
    const std::string_view token = trimmed(from.raw_json_token());
    if (type == json_type::null) {
      if (good(from.is_null()))
        stop(Code::null_value, span(token), "'null' is no value here", "leave the key out, or write 'unknown'");
      unreadable(place(token.data()), "a text stands in double quotes");
    }
    if (type == json_type::number && !is_number(token))
      unreadable(place(token.data()), "a number is written as 12, 0.25 or -3, and a text stands in double quotes");
    if (type == json_type::boolean) (void)good(from.get_bool());
    Node node;
    node.span = span(token);
    node.text = std::string(token);
    node.embedded = Embedded(node.span);
    return node;
  }

  Node collection(simdjson::ondemand::value& from, json_type type, std::size_t depth) {
    const std::string_view opening = from.raw_json_token();
    if (depth > limits::now().nesting) {
      stop(Code::yaml_too_deep, span(opening.substr(0, 1)),
           fmt::format("objects and lists nest deeper than {} here", limits::now().nesting),
           "no visit nests so deep" + limits::or_allow_more("nesting"));
    }
    Node node;
    std::size_t end = place(opening.data()) + 1;
    if (type == json_type::array) {
      node.kind = NodeKind::list;
      for (auto item : good(from.get_array())) {
        auto each = good(std::move(item));
        node.items.push_back(value(each, depth + 1));
        end = node.items.back().span.end;
      }
    } else {
      node.kind = NodeKind::map;
      std::map<std::string, Span> seen;
      for (auto entry : good(from.get_object())) {
        auto field = good(std::move(entry));
        Node key = this->key(field);
        const auto [first, fresh] = seen.emplace(key.text, key.span);
        if (!fresh) {
          out_.report(Code::duplicate_key, key.span,
                      fmt::format("the key '{}' stands twice in this object", printable(key.text)), "keep one of them",
                      {{first->second, "first written here"}});
          throw Stopped{};
        }
        node.entries.push_back({std::move(key), value(field.value(), depth + 1)});
        end = node.entries.back().value.span.end;
      }
    }
    const char closing = node.is_list() ? ']' : '}';
    const std::size_t found = std::string_view(padded_.data(), padded_.size()).find(closing, end);
    node.span = span(place(opening.data()), std::min(found, padded_.size() - 1) + 1);
    return node;
  }

  Node key(simdjson::ondemand::field& field) {
    const char* raw = field.key().raw();  // behind the quote
    const char* end = raw;
    while (*end != '"') end += *end == '\\' ? 2 : 1;
    if (++nodes_ > limits::now().nodes) {
      stop(Code::too_many_nodes, span(std::string_view(raw, 1)),
           fmt::format("the line holds more than {} keys, values, maps and lists", limits::now().nodes),
           "split it" + limits::or_allow_more("nodes"));
    }
    return quoted({raw - 1, static_cast<std::size_t>(end - raw) + 2}, field.unescaped_key());
  }

  // `token` with its quotes, and what it stands for.
  Node quoted(std::string_view token, simdjson::simdjson_result<std::string_view> read) {
    if (read.error() == simdjson::STRING_ERROR) {
      stop(Code::bad_escape, span(token), "a backslash in this text begins nothing that JSON knows",
           "behind it stands one of \" \\ / b f n r t, or u and four digits; to mean itself it is written twice");
    }
    const std::string_view decoded = good(std::move(read));
    const auto control = [](char c) { return (c >= 0 && c < ' ' && c != '\n' && c != '\t') || c == '\x7f'; };
    if (std::any_of(decoded.begin(), decoded.end(), control)) {
      stop(Code::control_escape, span(token), "this text holds a control character",
           "leave it out; where a backslash is meant, it is written twice");
    }
    Node node;
    node.span = span(token);
    node.text = std::string(decoded);
    node.style = ScalarStyle::double_quoted;
    std::vector<Embedded::Piece> pieces;
    std::size_t at = 0;  // of the decoded text
    const std::size_t begin = place(token.data());
    for (std::size_t i = 1; i + 1 < token.size();) {
      const auto piece = [&](std::size_t bytes, std::size_t stands_for, bool linear) {
        pieces.push_back({static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(begin + i),
                          static_cast<std::uint32_t>(bytes), linear});
        at += stands_for;
        i += bytes;
      };
      const std::size_t next = std::min(token.find('\\', i), token.size() - 1);
      if (next > i)
        piece(next - i, next - i, true);
      else
        std::apply([&](std::size_t bytes, std::size_t stands_for) { piece(bytes, stands_for, false); },
                   escape(token.substr(i)));
    }
    node.embedded = Embedded(node.span, std::move(pieces));
    return node;
  }

  SourceId source_;
  simdjson::padded_string padded_;
  Diagnostics& out_;
  simdjson::ondemand::document* parser_document_ = nullptr;
  std::size_t nodes_ = 0;
};

}  // namespace

std::optional<Node> read_json(SourceId source, const Sources& sources, Diagnostics& out) {
  const std::string_view text = sources.text(source);
  if (text.size() > limits::now().file_bytes) {
    out.report(Code::file_too_large, {source, 0, 0},
               fmt::format("the line holds more than the {} bytes that are read", limits::now().file_bytes),
               "split it" + limits::or_allow_more("file_bytes"));
    return std::nullopt;
  }
  try {
    Node document = Reader(source, text, out).document();
    auto& entries = document.entries;  // an object has no order; a file begins with what it is
    const auto first =
        std::find_if(entries.begin(), entries.end(), [](const MapEntry& entry) { return entry.key.text == "visit"; });
    if (first != entries.end()) std::rotate(entries.begin(), first, first + 1);
    return document;
  } catch (const Stopped&) {
    return std::nullopt;
  }
}

}  // namespace stringline
