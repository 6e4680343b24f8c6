// See owner_paper.h.
#include "engine/paper/owner_paper.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/paper/dates.h"

namespace stringline {
namespace {

std::string first_upper(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') text.front() = static_cast<char>(text.front() - 32);
  return text;
}

std::string days_text(std::int64_t days) { return days == 1 ? "1 day" : fmt::format("{} days", days); }

class Paper {
 public:
  Paper(const Estimate& estimate, OwnerPage& page) : estimate_(estimate), page_(page) {}

  void estimate() {
    head(estimate_.kind == PaperKind::quote ? "Quote" : "Estimate");
    before_work();
    if (estimate_.stopped)
      stopped();
    else
      work();
    offers();
    later();
    blocked();
    declined();
    time();
    small_print();
  }

  void final_bill(const std::optional<Estimate>& told, const std::vector<Difference>& differences) {
    head("Bill");
    page_.heading("WHAT WAS DONE");
    for (const EstimateLine& line : estimate_.lines) done_line(line);
    if (estimate_.lines.empty()) page_.line("Nothing that costs anything.");
    totals("TO PAY");
    if (!estimate_.lines.empty()) page_.line("What you have paid already comes off this.");
    ceiling();
    if (told) against(*told, differences);
    declined();
    after_work();
  }

 private:
  std::string digits(std::int64_t minor) const { return to_digits(minor, estimate_.currency); }
  std::string money(std::int64_t minor) const { return to_text(minor, estimate_.currency); }
  std::string day(Date date) const { return shown(date, estimate_.date_form); }

  // "about 150.00" where it is not known exactly.
  std::string column(const Cost& cost) const { return (cost.is_exact() ? "" : "about ") + digits(cost.typical); }
  std::string between(const Cost& cost) const {
    const auto [least, most] = std::minmax({cost.low, cost.typical, cost.high});
    return fmt::format("between {} and {}", digits(least), digits(most));
  }
  std::string amount_of(const EstimateLine& line) const {
    if (line.price.how == Price::How::by_quote) return "by quote";
    return line.price.has_amount() ? column(line.amount) : "no price yet";
  }

  void head(const std::string& what) {
    page_.line(estimate_.shop);
    page_.line(estimate_.owner.empty() ? what : fmt::format("{} for {}", what, estimate_.owner));
    page_.line(fmt::format("{} (visit {})", estimate_.instrument, estimate_.visit));
    std::string dated = day(estimate_.date);
    if (estimate_.valid_until && what != "Bill") dated += "; these prices hold until " + day(*estimate_.valid_until);
    page_.line(dated);
    if (!estimate_.says.empty()) {
      page_.blank();
      page_.line(fmt::format("You told us: \"{}\"", estimate_.says));
    }
  }

  void before_work() {
    if (estimate_.told.empty() && estimate_.refer.empty() && estimate_.at_once.empty()) return;
    page_.heading(estimate_.stopped ? "WE HAVE STOPPED HERE" : "BEFORE WE START");
    for (const std::string& told : estimate_.told) page_.item(first_upper(told));
    if (!estimate_.at_once.empty())
      page_.item(fmt::format("Done at once, at no price: {}", fmt::join(estimate_.at_once, "; ")));
    for (const std::string& refer : estimate_.refer) page_.item("We would send it to " + refer);
  }

  void stopped() {
    page_.heading("DUE NOW");
    for (const EstimateLine& line : estimate_.lines) line_of(line);
    if (estimate_.lines.empty()) {
      page_.line("Nothing. What the instrument needs is priced once that is settled.");
      return;
    }
    totals("TOTAL");
    page_.line("Nothing else is charged until that is settled.");
    ceiling();
  }

  void work() {
    page_.heading("WHAT WE WOULD DO");
    if (estimate_.lines.empty()) page_.line("Nothing that costs anything: all that was read is as it should be.");
    for (const EstimateLine& line : estimate_.lines) line_of(line);
    totals("TOTAL");
    if (!estimate_.extra_high.is_zero()) page_.row("at most, with all that is decided later", digits(with_extra()));
    if (estimate_.if_no) page_.row("if every answer above is no", column(estimate_.if_no->total));
    if (!estimate_.deposit.is_zero())
      page_.row(fmt::format("deposit before we begin, {}", to_text(estimate_.deposit_share, Unit::percent)),
                column(estimate_.deposit));
    if (!estimate_.unpriced.empty())
      page_.line(fmt::format("Not in the total, since it has no price yet: {}.", fmt::join(estimate_.unpriced, ", ")));
    ceiling();
  }

  std::int64_t with_extra() const {
    return add_minor(estimate_.bill.total.high, estimate_.extra_high.high).value_or(estimate_.bill.total.high);
  }

  void line_of(const EstimateLine& line) {
    page_.row(label_of(line), line.included_in.empty() ? amount_of(line) : "included");
    if (!line.included_in.empty()) page_.under(fmt::format("in: {}", line.included_in));
    if (line.price.has_amount() && !line.amount.is_exact()) page_.under(between(line.amount));
    if (!line.covers.empty()) page_.under(fmt::format("{}", fmt::join(line.covers, "; ")));
    reasons(line);
    for (const Instead& instead : line.instead) alternative(instead);
    if (line.listed) page_.under("at the price you agreed to");
    if (line.credited) page_.under("comes off the bill when the work goes ahead");
    if (line.done)
      page_.under("done");
    else if (line.waits)
      answer(line);
    else if (line.agreed)
      page_.under("you said yes");
  }

  std::string label_of(const EstimateLine& line) const {
    std::string label = first_upper(line.label);
    if (line.price.count > 1 && (line.kind == LineKind::part || line.price.how == Price::How::each))
      label += fmt::format(", {} of them", line.price.count);
    return label;
  }

  void reasons(const EstimateLine& line) {
    for (const std::string& why : line.why) page_.under(why, "Why:");
    for (const std::string& measured : line.measured) page_.under(measured, "Measured:");
    if (line.done || line.kind != LineKind::work) return;
    for (const std::string& stays : line.if_left) page_.under(stays, "Without it:");
  }

  void alternative(const Instead& instead) {
    std::string text = fmt::format("{}, {}; the whole bill would be {}", instead.label, column(instead.price.cost),
                                   column(instead.total));
    if (!instead.leaves.empty()) text += fmt::format("; it would not put right: {}", fmt::join(instead.leaves, "; "));
    page_.under(text, "Instead:");
  }

  void answer(const EstimateLine& line) { page_.answer(line.asked ? "(we have asked you)" : ""); }

  void totals(const std::string& word) {
    if (estimate_.lines.empty()) return;
    page_.rule();
    const Bill& bill = estimate_.bill;
    const auto taxed = [](const TaxSum& sum) { return sum.rate > Ratio(0) && !sum.tax.is_zero(); };
    const bool any = std::any_of(bill.taxes.begin(), bill.taxes.end(), taxed);
    if (any && !estimate_.tax_included) {
      page_.row("before tax", column(bill.net));
      for (const TaxSum& sum : bill.taxes) {
        if (taxed(sum)) page_.row(fmt::format("tax {}", to_text(sum.rate, Unit::percent)), column(sum.tax));
      }
    }
    page_.total(estimate_.currency.code.empty() ? word : fmt::format("{}, {}", word, estimate_.currency.code),
                column(bill.total));
    if (!bill.total.is_exact()) page_.under(between(bill.total));
    if (any && estimate_.tax_included) {
      for (const TaxSum& sum : bill.taxes) {
        if (taxed(sum))
          page_.row(fmt::format("    tax of {} in it", to_text(sum.rate, Unit::percent)), column(sum.tax));
      }
    }
  }

  void ceiling() {
    if (!estimate_.ceiling) return;
    const Ceiling& ceiling = *estimate_.ceiling;
    page_.blank();
    if (ceiling.ask_again)
      page_.warning(fmt::format("You agreed to {}; this comes to {}. We ask you before we go on.", money(ceiling.told),
                                money(ceiling.now.typical)));
    else if (ceiling.passed)
      page_.warning(
          fmt::format("You agreed to {}; this comes to {}, no more over it than we may go without "
                      "asking.",
                      money(ceiling.told), money(ceiling.now.typical)));
    else if (ceiling.may_pass)
      page_.warning(fmt::format("You agreed to {}; on a bad day this comes to {}. We ask before we pass it.",
                                money(ceiling.told), money(ceiling.now.high)));
    else
      page_.line(fmt::format("This keeps to the {} you agreed to.", money(ceiling.told)));
  }

  void offers() {
    if (estimate_.offers.empty()) return;
    page_.heading(estimate_.stopped ? "WHAT WE CAN DO, IF YOU SAY YES" : "ON OFFER, NOT IN THE TOTAL");
    for (const EstimateLine& offer : estimate_.offers) {
      page_.row(label_of(offer), amount_of(offer));
      if (offer.price.has_amount() && !offer.amount.is_exact()) page_.under(between(offer.amount));
      reasons(offer);
      if (offer.total_with && !estimate_.stopped)
        page_.under(fmt::format("with it the whole bill is {}", column(*offer.total_with)));
      answer(offer);
    }
  }

  void later() {
    if (estimate_.later.empty()) return;
    page_.heading("WHAT WE KNOW ONLY LATER");
    std::vector<std::string> readings;
    std::vector<std::string> jobs;
    for (const Later& later : estimate_.later) {
      if (!later.jobs.empty()) readings.push_back(later.reading);
      for (const std::string& job : later.jobs) {
        if (std::count(jobs.begin(), jobs.end(), job) == 0) jobs.push_back(job);
      }
    }
    if (!jobs.empty()) {
      page_.item(fmt::format("During the work we read again: {}.", fmt::join(readings, "; ")));
      page_.more(fmt::format("If one is off we put it right, at no extra price: {}.", fmt::join(jobs, "; ")));
    }
    for (const Later& later : estimate_.later) {
      for (const EstimateLine& line : later.extra)
        page_.item(fmt::format("If {}{}: {}, {}.", later.decides ? "" : "we find that ",
                               later.reading + (later.decides ? " calls for it" : " is off"), line.label,
                               line.price.has_amount() ? "up to " + digits(line.amount.high) + " more"
                                                       : "without a price yet, so we ask first"));
    }
  }

  void blocked() {
    for (const Blocked& blocked : estimate_.blocked) {
      page_.heading("AFTER: " + blocked.after);
      page_.item(fmt::format("{}; no price before then", fmt::join(blocked.jobs, ", ")));
    }
  }

  void declined() {
    if (estimate_.declined.empty()) return;
    page_.heading("YOU SAID NO TO");
    for (const Refused& refused : estimate_.declined) {
      page_.item(refused.label);
      for (const std::string& stays : refused.stays) page_.under(stays, "So:");
    }
  }

  static std::string hours_text(Ratio minutes) {
    const std::int64_t whole = minutes.num() / minutes.den() + (minutes.num() % minutes.den() > 0 ? 1 : 0);
    if (whole < 60) return fmt::format("{} min", whole);
    return whole % 60 == 0 ? fmt::format("{} h", whole / 60) : fmt::format("{} h {} min", whole / 60, whole % 60);
  }

  void time() {
    const Timing& timing = estimate_.timing;
    const bool works = timing.bench.typical > Ratio(0) && !estimate_.stopped;
    if (!works && timing.wait_days_high == 0 && !timing.due) return;
    page_.heading("HOW LONG");
    if (works) page_.item(fmt::format("about {} at the bench, once it has its turn", hours_text(timing.bench.typical)));
    if (timing.wait_days_high > 0)
      page_.item(
          fmt::format("{}{} of waiting in which nothing is charged",
                      timing.wait_days_low < timing.wait_days_high ? fmt::format("{} to ", timing.wait_days_low) : "",
                      days_text(timing.wait_days_high)));
    due();
  }

  void due() {
    const Timing& timing = estimate_.timing;
    if (!timing.due) return;
    const std::string wanted = fmt::format("you want it on {}: ", day(*timing.due));
    if (estimate_.stopped)
      page_.item(first_upper(wanted) + "we can not promise that while it is stopped");
    else if (timing.earliest && *timing.earliest > *timing.due)
      page_.item(first_upper(wanted) + fmt::format("that can not be met, {} at the earliest", day(*timing.earliest)));
    else if (timing.latest && *timing.latest > *timing.due)
      page_.item(first_upper(wanted) + fmt::format("it may be late, {} at the latest, and the bench's queue "
                                                   "comes on top",
                                                   day(*timing.latest)));
    else
      page_.item(first_upper(wanted) + "the work and the waiting fit; the bench's queue decides");
  }

  void small_print() {
    if (!estimate_.stopped || asks() || !estimate_.assumed.empty()) page_.heading("GOOD TO KNOW");
    if (!estimate_.stopped)
      page_.item(estimate_.kind == PaperKind::quote
                     ? "This is a quote: for the work written here, this is the price."
                     : "This is an estimate: it is what we expect, not a fixed price. We ask before it "
                       "costs more.");
    if (asks()) page_.item("What asks for a yes or a no is done only after a yes.");
    for (const std::string& caution : estimate_.cautions) page_.item(first_upper(caution) + ".");
    if (!estimate_.assumed.empty())
      page_.item(
          fmt::format("Taken to be in order, since nobody wrote otherwise: {}.", fmt::join(estimate_.assumed, ", ")));
    after_terms();
  }

  bool asks() const {
    const auto waits = [](const EstimateLine& line) { return line.waits; };
    return std::any_of(estimate_.lines.begin(), estimate_.lines.end(), waits) || !estimate_.offers.empty();
  }

  void after_work() {
    if (!estimate_.warranty_days && !estimate_.storage && estimate_.shop_says.empty()) return;
    page_.heading("GOOD TO KNOW");
    after_terms();
  }

  void after_terms() {
    if (estimate_.warranty_days && !estimate_.stopped)
      page_.item(fmt::format("We stand for our work for {}.", days_text(*estimate_.warranty_days)));
    if (estimate_.storage && estimate_.storage->free && estimate_.storage->per_day) {
      const auto days = in_unit(estimate_.storage->free->quantity.value, Unit::day);
      const auto daily = to_minor(estimate_.storage->per_day->quantity.value, estimate_.currency);
      page_.item(fmt::format("Once it is ready, {} of keeping it are free; then {} a day.",
                             days ? days_text(days->num() / days->den()) : "some days",
                             daily ? money(*daily) : "a price"));
    }
    for (const std::string& says : estimate_.shop_says) page_.item(says);
  }

  void done_line(const EstimateLine& line) {
    page_.row(label_of(line), line.included_in.empty() ? amount_of(line) : "included");
    if (!line.included_in.empty()) page_.under(fmt::format("in: {}", line.included_in));
    if (!line.covers.empty()) page_.under(fmt::format("{}", fmt::join(line.covers, "; ")));
    if (line.listed) page_.under("at the price you agreed to");
  }

  void against(const Estimate& told, const std::vector<Difference>& differences) {
    page_.heading("AGAINST THE ESTIMATE");
    page_.row("we told you", column(told.bill.total));
    page_.row("it came to", column(estimate_.bill.total));
    if (differences.empty()) page_.line("Every line came out as told.");
    for (const Difference& each : differences) {
      const std::string from = each.told ? column(*each.told) : "nothing";
      const std::string now = each.now ? column(*each.now) : "nothing";
      page_.item(fmt::format("{}: {} instead of {}; {}", each.label, now, from, each.why));
    }
  }

  const Estimate& estimate_;
  OwnerPage& page_;
};

}  // namespace

void write_estimate(const Estimate& estimate, OwnerPage& page) { Paper(estimate, page).estimate(); }

void write_final(const Estimate& final_bill, const std::optional<Estimate>& told,
                 const std::vector<Difference>& differences, OwnerPage& page) {
  Paper(final_bill, page).final_bill(told, differences);
}

}  // namespace stringline
