// See handover_paper.h.
#include "engine/paper/handover_paper.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/diag/render.h"
#include "engine/paper/dates.h"
#include "engine/paper/owner_paper.h"

namespace stringline {
namespace {

constexpr std::size_t page_width = 64;
constexpr std::size_t most_next = 4;  // jobs named while it is not finished

std::string first_upper(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') text.front() = static_cast<char>(text.front() - 32);
  return text;
}

std::string sentence(std::string text) {
  text = first_upper(std::move(text));
  const bool ended = !text.empty() && std::string(".!?").find(text.back()) != std::string::npos;
  return ended ? text : text + ".";
}

class Paper {
 public:
  Paper(const Handover& handover, OwnerPage& page) : handover_(handover), page_(page) {}

  void write() {
    head();
    not_finished();
    readings();
    work();
    declined();
    if (handover_.finished) come_back();
    if (handover_.finished) care();
    good_to_know();
  }

 private:
  std::string day(Date date) const { return shown(date, handover_.date_form); }

  void head() {
    shop_lines(page_, handover_.shop, handover_.contact);
    const std::string what = handover_.finished ? "Hand-over sheet" : "Not ready: hand-over sheet";
    page_.line(handover_.owner.empty() ? what : fmt::format("{} for {}", what, handover_.owner));
    page_.line(instrument_line(handover_.instrument, handover_.instrument_id, handover_.visit));
    page_.line(day(handover_.date));
    if (handover_.says.empty()) return;
    page_.blank();
    page_.line(fmt::format("You told us: \"{}\"", handover_.says));
  }

  void not_finished() {
    if (handover_.finished) return;
    std::vector<std::string> next = handover_.next;
    const std::size_t more = next.size() > most_next ? next.size() - most_next : 0;
    next.resize(next.size() - more);
    page_.blank();
    page_.warning(fmt::format("Not finished, so not to be handed over yet. Still to do: {}{}.", fmt::join(next, "; "),
                              more > 0 ? fmt::format("; and {} more", more) : ""));
  }

  void readings() {
    page_.heading(handover_.finished ? "HOW IT LEAVES" : "HOW IT STANDS");
    if (handover_.readings.empty()) page_.line("Nothing was read that we hold against our own specs.");
    for (const Finding& finding : handover_.readings) {
      std::string what = first_upper(finding.what);
      if (!finding.members.empty()) what += fmt::format(" ({})", fmt::join(finding.members, ", "));
      const bool stale = finding.verdict == Verdict::stale;
      page_.row(what, stale ? "not read again" : finding.now);
      page_.under(verdict_for_owner(finding) + (stale ? "" : came_in(finding)));
      if (!finding.left_because.empty()) page_.under(finding.left_because, "Left so:");
    }
  }

  static std::string came_in(const Finding& finding) {
    if (finding.before.empty()) return "";
    if (finding.before == finding.now) return "; as it came in";
    return fmt::format("; it came in {}{}", finding.before == "touching" ? "" : "at ", finding.before);
  }

  void work() {
    page_.heading("WHAT WAS DONE");
    if (handover_.work.empty()) page_.line("It was looked over and measured; nothing was changed.");
    for (std::size_t i = 0; i < handover_.work.size();) {
      const Date date = handover_.work[i].date;
      std::vector<std::string> texts;
      for (; i < handover_.work.size() && handover_.work[i].date == date; ++i) texts.push_back(handover_.work[i].text);
      page_.item(fmt::format("{}: {}", day(date), fmt::join(texts, "; ")));
    }
  }

  void declined() {
    if (handover_.declined.empty()) return;
    page_.heading("YOU SAID NO TO");
    for (const Refused& refused : handover_.declined) {
      page_.item(refused.label);
      for (const std::string& stays : refused.stays) page_.under(stays, "So:");
    }
  }

  void come_back() {
    const bool anything = handover_.come_back || handover_.warranty_until || !handover_.good_until.empty() ||
                          (!handover_.air.empty() && !handover_.air_wish.empty());
    if (!anything) return;
    page_.heading("WHEN TO COME BACK");
    if (handover_.warranty_until)
      page_.item(fmt::format("By {}, if anything that we did has moved: we stand for our work for {} {}.",
                             day(*handover_.warranty_until), *handover_.warranty_days,
                             *handover_.warranty_days == 1 ? "day" : "days"));
    if (handover_.come_back) page_.item(fmt::format("About {}, for a look.", day(*handover_.come_back)));
    for (const auto& [what, until] : handover_.good_until)
      page_.item(fmt::format("After {}, {} has to be read again before anybody relies on it.", day(until), what));
    if (!handover_.air.empty() && !handover_.air_wish.empty())
      page_.item(fmt::format("Sooner, if it has lived for some weeks in air outside {}: it was measured at {}.",
                             handover_.air_wish, handover_.air));
    page_.item("Sooner, if it buzzes, or the strings stand higher or lower than they do today.");
  }

  void care() {
    page_.heading("HOW TO KEEP IT");
    if (!handover_.strings.empty() && !handover_.tuning.empty())
      page_.item(
          fmt::format("It is set up for strings of {} (thousandths of an inch; p is plain, w is wound), tuned {}, "
                      "string 1 first. Other strings or another tuning pull differently, and what was set moves "
                      "with them.",
                      handover_.strings, handover_.tuning));
    for (const std::string& text : handover_.aftercare) page_.item(sentence(text));
    for (const std::string& text : handover_.care) page_.item(sentence(text));
    page_.item("Wood moves with the weather: a set-up that is right today can want a touch when the season turns.");
  }

  void good_to_know() {
    if (handover_.told.empty()) return;
    page_.heading("MIND");
    for (const std::string& told : handover_.told) page_.item(sentence(told));
  }

  const Handover& handover_;
  OwnerPage& page_;
};

}  // namespace

std::string verdict_for_owner(const Finding& finding) {
  const char* who = finding.own_range ? "you asked for" : "we want";
  const std::string wish = finding.wanted.empty() ? "" : fmt::format(": {} {}", who, finding.wanted);
  if (!finding.asked.empty() && finding.verdict != Verdict::stale)
    return fmt::format("{} {}{}", finding.at_asked ? "as you asked:" : "not as you asked:", finding.asked,
                       wish.empty() ? "" : fmt::format("; our own range is {}", finding.wanted));
  switch (finding.verdict) {
    case Verdict::within: return "right" + wish;
    case Verdict::high: return fmt::format("higher than {}: {}", who, finding.wanted);
    case Verdict::low: return fmt::format("lower than {}: {}", who, finding.wanted);
    case Verdict::too_close: return "at the very edge of right, as near as our tools tell" + wish;
    case Verdict::stale: return fmt::format("last read at {}, before: {}", finding.now, finding.since);
    default: return to_text(finding.verdict);
  }
}

void write_handover(const Handover& handover, OwnerPage& page) { Paper(handover, page).write(); }

std::string handover_text(const Handover& handover) {
  Page page(page_width);
  write_handover(handover, page);
  return printable(page.text());
}

}  // namespace stringline
