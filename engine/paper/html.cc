// See html.h.
#include "engine/paper/html.h"

#include <algorithm>
#include <cassert>
#include <cstdint>

#include "engine/diag/render.h"

namespace stringline {
namespace {

// What follows a lead byte in text that `printable` has passed, so every sequence is whole.
std::size_t length_of(char lead) {
  const auto byte = static_cast<unsigned char>(lead);
  return byte < 0x80 ? 1 : byte < 0xE0 ? 2 : byte < 0xF0 ? 3 : 4;
}

char32_t point_of(std::string_view glyph) {
  static constexpr unsigned char lead_bits[] = {0x7F, 0x1F, 0x0F, 0x07};
  char32_t point = static_cast<unsigned char>(glyph.front()) & lead_bits[glyph.size() - 1];
  for (const char c : glyph.substr(1)) point = (point << 6) | (static_cast<unsigned char>(c) & 0x3FU);
  return point;
}

// Scripts that run from right to left, by their blocks in Unicode 15.
bool right_to_left(char32_t point) {
  return (point >= 0x590 && point <= 0x8FF) || (point >= 0xFB1D && point <= 0xFDFF) ||
         (point >= 0xFE70 && point <= 0xFEFC) || (point >= 0x10800 && point <= 0x10FFF) ||
         (point >= 0x1E800 && point <= 0x1EFFF);
}

bool ascii_letter(char32_t point) { return (point >= 'a' && point <= 'z') || (point >= 'A' && point <= 'Z'); }

struct Piece {
  std::string_view bytes;
  char32_t point = 0;
};

std::vector<Piece> pieces_of(std::string_view text) {
  std::vector<Piece> pieces;
  while (!text.empty()) {
    const std::string_view bytes = text.substr(0, std::min(length_of(text.front()), text.size()));
    pieces.push_back({bytes, point_of(bytes)});
    text.remove_prefix(bytes.size());
  }
  return pieces;
}

// Past the last right-to-left letter of the stretch that begins at `first`; digits and signs inside belong to it.
std::size_t stretch_end(const std::vector<Piece>& pieces, std::size_t first) {
  std::size_t end = first + 1;
  for (std::size_t i = first; i < pieces.size(); ++i) {
    if (right_to_left(pieces[i].point))
      end = i + 1;
    else if (ascii_letter(pieces[i].point) || pieces[i].point >= 0x80)
      break;
  }
  return end;
}

std::string escaped(const Piece& piece) {
  switch (piece.point) {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '"': return "&quot;";
    case '\'': return "&#39;";
    case '\n': return " ";
    case 0xFFFE:
    case 0xFFFF: return "\xEF\xBF\xBD";  // no character at all, and forbidden in XML
    default: return std::string(piece.bytes);
  }
}

// Tags that begin a line of the file, so that two versions of a page can be compared.
bool own_line(std::string_view tag) {
  static constexpr std::string_view inline_tags[] = {"span", "strong", "em", "small", "b", "tspan", "td", "th", "dd"};
  return std::find(std::begin(inline_tags), std::end(inline_tags), tag) == std::end(inline_tags);
}

// Black on white, marks and words instead of colours, so that a page survives any printer.
constexpr const char* style = R"(
@page { margin: 14mm }
* { box-sizing: border-box }
html { -webkit-text-size-adjust: 100% }
body { margin: 0 auto; max-width: 46rem; padding: 1rem; font: 1rem/1.4 sans-serif; color: #111; background: #fff;
  overflow-wrap: anywhere }
h1, h2 { font-family: serif; line-height: 1.15; break-after: avoid }
h1 { font-size: 1.8rem; margin: 0 0 .2rem }
h2 { font-size: 1.25rem; margin: 1.6rem 0 .6rem; padding-bottom: .15rem; border-bottom: 3px double #111 }
p { margin: .2rem 0 }
.head { break-after: avoid }
dl { display: grid; grid-template-columns: 5.2rem minmax(0, 1fr); gap: .1rem .6rem; margin: .3rem 0 }
dt { font-family: serif; font-style: italic; text-align: right; color: #444 }
dd { margin: 0 }
.small, dl { font-size: .88em }
.told { border: 2px solid #111; padding: .4rem .7rem; margin: .5rem 0; break-inside: avoid }
.told strong { letter-spacing: .06em }
.work { list-style: none; margin: 0; padding: 0 }
.line { display: grid; grid-template-columns: 2.1rem minmax(0, 1fr); gap: 0 .8rem; padding: .7rem 0;
  border-top: 1px solid #777; break-inside: avoid }
.line:first-child { border-top: 0 }
.square { width: 1.9rem; height: 1.9rem; border: 2px solid #111 }
.round { width: 1.9rem; height: 1.9rem; border: 2px solid #111; border-radius: 50% }
.what { font-size: 1.15rem; font-weight: bold; line-height: 1.25; padding-top: .2rem }
.amount { font-size: 1.75rem; font-weight: bold; line-height: 1.2; margin: .25rem 0 }
.amount span { font-size: 1.15rem; font-weight: normal; margin-left: .5rem }
.yes { display: inline-block; border: 2px solid #111; padding: 0 .4rem; font-weight: bold }
.careful { border-left: .45rem double #111; padding: .1rem .6rem; margin: .35rem 0; break-inside: avoid }
.boxes { display: flex; flex-wrap: wrap; gap: .45rem .8rem; margin: .4rem 0; align-items: flex-end }
.boxes .name { flex: 0 0 100%; font-size: .88rem }
.facts .boxes { margin: .15rem 0 }
.facts .boxes .name { flex: 0 0 7rem; font-family: serif; font-style: italic; color: #444 }
.write { display: inline-flex; align-items: flex-end; gap: .3rem; font-size: .88rem; max-width: 100% }
.pencil { display: inline-block; width: 4.4rem; height: 2rem; border: 1px solid #111; border-bottom-width: 3px }
.pencil.wide { width: 15rem; max-width: 60vw }
.narrow .pencil { width: 2.9rem }
.circle { display: inline-flex; align-items: center; gap: .35rem; font-size: .95rem; max-width: 100% }
.circle .tick { flex: none; width: 1.1rem; height: 1.1rem; border: 2px solid #111 }
.row { display: flex; justify-content: space-between; gap: 1rem; margin-top: .55rem; font-weight: bold; break-after: avoid }
.row span:first-child { min-width: 0 }
.money { flex: none; text-align: right; font-variant-numeric: tabular-nums }
.total { font-size: 1.5rem; margin: .3rem 0 }
hr { border: 0; border-top: 1px solid #111; margin: .6rem 0 0 auto; width: 9rem }
.under { margin-left: 1.4rem; font-size: .92em }
.item { padding-left: 1.1rem; text-indent: -1.1rem }
.item::before { content: "\2013"; display: inline-block; width: 1.1rem; text-indent: 0 }
.asked { margin-top: .5rem; font-weight: bold }
.answer { display: flex; flex-wrap: wrap; gap: .3rem 1.2rem; margin: .25rem 0 .35rem 1.4rem }
.answer .box { display: inline-flex; align-items: center; gap: .45rem }
.answer .square { flex: none; width: 1.3rem; height: 1.3rem }
.kept { break-inside: avoid }
.fine { font-size: .8em; line-height: 1.25 }
.sign { display: flex; flex-wrap: wrap; gap: 2.6rem 1.2rem; margin-top: 2.8rem; break-inside: avoid }
.sign .field { flex: 1 1 11rem; border-top: 2px solid #111; font-size: .88rem; padding: .1rem 0 }
figure { margin: .6rem 0 1rem; break-inside: avoid }
figure svg { display: block; width: 100%; max-width: 40rem; height: auto }
figcaption { font-size: .88em; margin-top: .2rem }
svg text { font-family: sans-serif; fill: #111 }
table { border-collapse: collapse; font-size: .88em; width: 100% }
th, td { text-align: left; vertical-align: top; padding: .2rem .5rem .2rem 0; border-bottom: 1px solid #777 }
th { font-family: serif; font-weight: normal; font-style: italic; color: #444 }
tbody th { font-family: sans-serif; font-weight: bold; font-style: normal; color: #111 }
.board thead th { overflow-wrap: break-word } .board table { font-size: 1em; table-layout: fixed }
.board thead th:nth-child(1) { width: 32% } .board thead th:nth-child(2) { width: 15% } .board thead th:nth-child(3) { width: 15% }
tr { break-inside: avoid }
.stack.whole { break-inside: avoid }
@media screen and (max-width: 32rem) { .stack thead { position: absolute; clip-path: inset(50%) }
  .stack, .stack tbody, .stack tr, .stack th, .stack td { display: block }
  .stack th, .stack td { border: 0; padding: 0 } .stack tr { border-bottom: 1px solid #777; padding: .4rem 0 }
  .stack td::before { content: attr(data-head) ": "; font-family: serif; font-style: italic; color: #444 } }
.charts { display: grid; grid-template-columns: repeat(auto-fill, minmax(13.5rem, 1fr)); gap: .4rem 1.2rem }
.charts figure { margin: .3rem 0 }
.columns, .sheet { column-gap: 1.6rem; column-rule: 1px solid #777 }
@media screen and (max-width: 30rem) {
  figure svg { overflow: visible } figure svg text { font-size: 14.5px } figure svg text[font-size="10"] { font-size: 11.5px }
  figure svg text[font-size="12"] { font-size: 13px }
  .charts svg text { font-size: 12px } }
@media screen and (min-width: 44rem) { .columns { columns: 2 } }
@media print { body { padding: 0; max-width: none; font-size: 10.5pt } p { margin: .12rem 0 }
  h2 { margin: 1rem 0 .35rem } .row { margin-top: .4rem } .line { padding: .45rem 0 }
  .sides { display: flex; gap: .8rem } .side { flex: 1 1 0; min-width: 0; margin: .3rem 0 } .side svg { max-width: 24rem }
  .side svg text[font-size="11"] { font-size: 13px } .side svg text[font-size="13"] { font-size: 14.5px }
  .sign { margin-top: 2rem }
  .sheet { columns: 2 } .sheet h2 { font-size: 1.1rem; margin: .8rem 0 .2rem } .sheet h2:first-child { margin-top: 0 }
  .sheet .line { grid-template-columns: 1.2rem minmax(0, 1fr); gap: 0 .5rem; padding: .3rem 0 }
  .sheet .square { width: 1.1rem; height: 1.1rem; margin-top: .15rem } .sheet .what { font-size: 1rem; padding: 0 }
  .sheet dl { grid-template-columns: 2.6rem minmax(0, 1fr); font-size: .78rem; margin: .1rem 0; line-height: 1.25 }
  .sheet .boxes { gap: .25rem .5rem; margin: .2rem 0 } .sheet .pencil { width: 3.6rem; height: 1.5rem }
  .sheet .narrow .pencil { width: 2.3rem } }
)";

}  // namespace

std::string html_text(std::string_view text) {
  const std::string visible = printable(text);
  const std::vector<Piece> pieces = pieces_of(visible);
  std::string out;
  for (std::size_t i = 0; i < pieces.size();) {
    const bool turned = right_to_left(pieces[i].point);
    const std::size_t end = turned ? stretch_end(pieces, i) : i + 1;
    if (turned) out += "<bdi>";
    for (; i < end; ++i) out += escaped(pieces[i]);
    if (turned) out += "</bdi>";
  }
  return out;
}

std::string html_attribute(std::string_view text) {
  const std::string visible = printable(text);
  std::string out;
  for (const Piece& piece : pieces_of(visible)) out += escaped(piece);
  return out;
}

void HtmlWriter::start(const char* tag, const Attributes& attributes) {
  if (own_line(tag) && !out_.empty()) out_ += '\n';
  out_ += '<';
  out_ += tag;
  for (const auto& [name, value] : attributes) {
    out_ += ' ';
    out_ += name;
    out_ += "=\"" + html_attribute(value) + '"';
  }
}

HtmlWriter& HtmlWriter::open(const char* tag, const Attributes& attributes) {
  start(tag, attributes);
  out_ += '>';
  open_.push_back(tag);
  return *this;
}

HtmlWriter& HtmlWriter::text(std::string_view text) {
  out_ += html_text(text);
  return *this;
}

HtmlWriter& HtmlWriter::close() {
  assert(!open_.empty());
  out_ += "</";
  out_ += open_.back();
  out_ += '>';
  open_.pop_back();
  return *this;
}

HtmlWriter& HtmlWriter::leaf(const char* tag, std::string_view content, const Attributes& attributes) {
  return open(tag, attributes).text(content).close();
}

HtmlWriter& HtmlWriter::empty(const char* tag, const Attributes& attributes) {
  start(tag, attributes);
  out_ += " />";
  return *this;
}

std::string HtmlWriter::take() {
  assert(open_.empty());
  return std::move(out_);
}

std::string html_page(const std::string& title, const std::string& body) {
  std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\" />\n";
  out += "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\" />\n";
  // The page itself forbids every script and every request.
  out += "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src &#39;none&#39;; ";
  out += "style-src &#39;unsafe-inline&#39;\" />\n";
  out += "<title>" + html_attribute(title) + "</title>\n<style>" + style + "</style>\n</head>\n<body>\n";
  return out + body + "\n</body>\n</html>\n";
}

}  // namespace stringline
