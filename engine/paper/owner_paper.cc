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
    how_to_answer();
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

  // "up to 7.50" where as a rule it is nothing, "60.00 to 110.00" where as a rule it is one of the ends, else "about 150.00".
  std::string column(const Cost& cost) const {
    if (is_at_most(cost)) return "up to " + digits(cost.high);
    if (is_span(cost)) return fmt::format("{} to {}", digits(cost.low), digits(cost.high));
    return (cost.is_exact() ? "" : "about ") + digits(cost.typical);
  }
  static bool is_span(const Cost& cost) {
    return cost.low < cost.high && (cost.typical == cost.low || cost.typical == cost.high);
  }
  static bool is_at_most(const Cost& cost) { return cost.low == 0 && cost.typical == 0 && cost.high > 0; }
  std::string more(const Cost& cost) const {
    return fmt::format("{}{} more", cost.is_exact() ? "" : "up to ", digits(cost.high));
  }
  void range_of(const Cost& cost) {
    if (!cost.is_exact() && !is_at_most(cost) && !is_span(cost)) page_.under(between(cost));
  }
  std::string between(const Cost& cost) const {
    const auto [least, most] = std::minmax({cost.low, cost.typical, cost.high});
    return fmt::format("between {} and {}", digits(least), digits(most));
  }
  std::string amount_of(const EstimateLine& line) const {
    if (line.price.how == Price::How::by_quote) return "by quote";
    return line.price.has_amount() ? column(line.amount) : "no price yet";
  }

  void head(const std::string& what) {
    shop_lines(page_, estimate_.shop, estimate_.contact);
    page_.line(estimate_.owner.empty() ? what : fmt::format("{} for {}", what, estimate_.owner));
    page_.line(instrument_line(estimate_.instrument, estimate_.instrument_id, estimate_.visit));
    std::string dated = day(estimate_.date);
    const bool prices = !estimate_.lines.empty() || !estimate_.offers.empty();
    if (estimate_.valid_until && what != "Bill" && prices)
      dated += "; these prices hold until " + day(*estimate_.valid_until);
    page_.line(dated);
    if (!estimate_.says.empty()) {
      page_.blank();
      page_.line(fmt::format("You told us: \"{}\"", estimate_.says));
    }
  }

  void before_work() {
    if (estimate_.told.empty() && estimate_.refer.empty() && estimate_.at_once.empty() &&
        estimate_.paid_later.empty() && estimate_.rests.empty())
      return;
    page_.heading(estimate_.held      ? "BEFORE ANYTHING ELSE"
                  : estimate_.stopped ? "WE HAVE STOPPED HERE"
                  : estimate_.begun   ? "BEFORE WE GO ON"
                                      : "BEFORE WE START");
    for (const std::string& told : estimate_.told) {
      page_.item(first_upper(told));
      for (const OwnerChoice& choice : estimate_.choices) {
        if (choice.told != told) continue;
        for (const std::string& way : choice.ways) page_.choice("", way, way);
        chosen_.push_back(choice.ways.front());
      }
    }
    if (!estimate_.at_once.empty())
      page_.item(fmt::format("Done at once, at no price: {}", fmt::join(estimate_.at_once, "; ")));
    if (!estimate_.paid_later.empty())
      page_.item(fmt::format("Done at once, and on the bill when the work goes on: {}",
                             fmt::join(estimate_.paid_later, "; ")));
    if (!estimate_.rests.empty())
      page_.item(fmt::format("This takes time, at no price: {}", fmt::join(estimate_.rests, "; ")));
    for (const std::string& refer : estimate_.refer) page_.item("We would send it to " + refer);
  }

  void stopped() {
    const bool agreed = std::any_of(estimate_.lines.begin(), estimate_.lines.end(),
                                    [](const EstimateLine& line) { return line.kind == LineKind::work; });
    page_.heading(agreed ? "WHAT YOU SAID YES TO" : "DUE NOW");
    for (const EstimateLine& line : estimate_.lines) line_of(line);
    if (estimate_.lines.empty()) {
      page_.line("Nothing. What the instrument needs is priced once that is settled.");
      return;
    }
    totals("TOTAL");
    deposit();
    unpriced();
    page_.line(agreed ? "Nothing else is charged until that is done."
                      : "Nothing else is charged until that is settled.");
    if (agreed) afterwards();
    ceiling();
  }

  void work() {
    page_.heading(estimate_.finished ? "WHAT WE DID"
                  : estimate_.begun  ? "WHAT IS DONE AND WHAT IS LEFT"
                                     : "WHAT WE WOULD DO");
    const bool settled = estimate_.told.empty() && estimate_.later.empty() && estimate_.offers.empty() &&
                         estimate_.blocked.empty() && estimate_.declined.empty();
    if (estimate_.lines.empty())
      page_.line(settled ? "Nothing that costs anything: all that was read is as it should be."
                         : "Nothing that costs anything so far.");
    for (const EstimateLine& line : estimate_.lines) line_of(line);
    totals("TOTAL");
    if (estimate_.at_most) page_.row("at most, with all that is decided later", digits(estimate_.at_most->high));
    refusals();
    deposit();
    unpriced();
    ceiling();
  }

  void refusals() {
    if (!estimate_.if_no) return;
    page_.row("if every answer above is no", column(estimate_.if_no->total));
    if (!estimate_.gone_if_no.empty())
      page_.under(fmt::format("then also without: {}", fmt::join(estimate_.gone_if_no, "; ")));
    if (!estimate_.new_if_no.empty()) page_.under(fmt::format("then with: {}", fmt::join(estimate_.new_if_no, "; ")));
  }

  void deposit() {
    if (estimate_.deposit.is_zero() || estimate_.finished) return;
    const std::string share =
        to_text(estimate_.deposit_share, Unit::percent) + (estimate_.bill.tax.is_zero() ? "" : " before tax");
    page_.row(estimate_.begun ? fmt::format("deposit of {} in it, where not paid yet", share)
                              : fmt::format("deposit before we begin, {}", share),
              column(estimate_.deposit));
  }

  void unpriced() {
    if (!estimate_.unpriced.empty())
      page_.line(fmt::format("Not in the total, since it has no price yet: {}.", fmt::join(estimate_.unpriced, ", ")));
  }

  void afterwards() {
    if (estimate_.afterwards)
      page_.line(fmt::format("The {} is not in it: that comes after, for {}, once the instrument can be measured.",
                             estimate_.afterwards->label, column(estimate_.afterwards->price)));
  }

  void line_of(const EstimateLine& line) {
    page_.row(numbered(line), line.included_in.empty() ? amount_of(line) : "included");
    if (!line.included_in.empty()) page_.under(fmt::format("in: {}", line.included_in));
    if (line.price.has_amount()) range_of(line.amount);
    contents(line);
    reasons(line);
    if (line.listed) page_.under("at the price you agreed to");
    const auto credit = [&](const EstimateLine& each) {
      return each.kind == LineKind::credit && each.name == line.name;
    };
    if (line.credited && std::none_of(estimate_.lines.begin(), estimate_.lines.end(), credit))
      page_.under("comes off the bill when the work goes ahead");
    if (line.done)
      page_.under(line.kind != LineKind::part ? "done" : estimate_.begun ? "fitted" : "fitted already");
    else if (line.waits)
      answer(line);
    else if (line.agreed)
      page_.under("you said yes");
  }

  // What a package is for, and its jobs, those that are done apart.
  void contents(const EstimateLine& line) {
    if (!line.for_what.empty()) page_.under(line.for_what);
    std::vector<std::string> left;
    for (const std::string& job : line.covers) {
      if (std::count(line.covers_done.begin(), line.covers_done.end(), job) == 0) left.push_back(job);
    }
    if (!line.covers_done.empty()) page_.under(fmt::format("{}", fmt::join(line.covers_done, "; ")), "Done:");
    if (!left.empty())
      page_.under(fmt::format("{}", fmt::join(left, "; ")), line.covers_done.empty() ? "In it:" : "To do:");
  }

  // What asks for an answer has a number to answer by.
  std::string numbered(const EstimateLine& line) {
    return line.waits && !line.done ? fmt::format("{}. {}", ++asked_, label_of(line)) : label_of(line);
  }

  std::string label_of(const EstimateLine& line) const {
    std::string label = first_upper(line.label);
    if (!line.places.empty()) return fmt::format("{}, {}", label, line.places);
    if (line.price.count > 1 && line.kind == LineKind::part) label += fmt::format(", {} of them", line.price.count);
    return label;
  }

  void reasons(const EstimateLine& line) {
    for (const std::string& why : line.why) page_.under(why, "Why:");
    for (const std::string& measured : line.measured) page_.under(measured, "Measured:");
    if (line.done || line.agreed || line.kind != LineKind::work) return;
    if (!line.if_left.empty()) page_.under(fmt::format("{}", fmt::join(line.if_left, "; ")), "Without it:");
  }

  // "1a": another way to answer line 1.
  void alternative(const Instead& instead, char letter) {
    const std::string price =
        instead.included_in.empty() ? column(instead.price.cost) : fmt::format("in the {}", instead.included_in);
    const std::string with = instead.includes.empty() ? "" : fmt::format(", with the {} in it", instead.includes);
    std::string text =
        fmt::format("instead: {}, {}{}; the whole bill would be {}", instead.label, price, with, column(instead.total));
    if (!instead.leaves.empty()) text += fmt::format("; it would not put right: {}", fmt::join(instead.leaves, "; "));
    ways_.push_back(fmt::format("{}{}", asked_, letter));
    page_.choice(ways_.back(), instead.label, text);
  }

  void answer(const EstimateLine& line) {
    page_.answer(fmt::format("{}. {}", asked_, label_of(line)), line.asked ? "(we have asked you)" : "");
    char letter = 'a';
    for (const Instead& instead : line.instead) alternative(instead, letter++);
  }

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
    range_of(bill.total);
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
    // What still waits for a yes is in the total, and not in what was agreed.
    const bool waits = std::any_of(estimate_.lines.begin(), estimate_.lines.end(),
                                   [](const EstimateLine& line) { return line.waits && !line.done; });
    const std::string what = waits ? "what does not wait for your yes" : "this";
    const std::string told = money(ceiling.told);
    const std::string now = money(ceiling.now.typical);
    if (ceiling.ask_again)
      page_.warning(fmt::format("You agreed to {}; {} comes to {}. We ask you before we go on.", told, what, now));
    else if (ceiling.passed)
      page_.warning(fmt::format("You agreed to {}; {} comes to {}, no more over it than we may go without asking.",
                                told, what, now));
    else if (ceiling.may_pass)
      page_.warning(fmt::format("You agreed to {}; on a bad day {} comes to {}. We ask before we pass it.", told, what,
                                money(ceiling.now.high)));
    else if (waits)
      page_.line(fmt::format("You agreed to {}; {} comes to {} and keeps to it.", told, what, now));
    else
      page_.line(fmt::format("This keeps to the {} you agreed to.", told));
  }

  void offers() {
    if (estimate_.offers.empty()) return;
    page_.heading(estimate_.stopped ? "WHAT WE CAN DO, IF YOU SAY YES" : "ON OFFER, NOT IN THE TOTAL");
    for (const EstimateLine& offer : estimate_.offers) {
      const bool included = !offer.included_in.empty();
      page_.row(numbered(offer), included ? "included" : amount_of(offer));
      if (included) page_.under(fmt::format("in: {}", offer.included_in));
      if (offer.price.has_amount() && !included) range_of(offer.amount);
      reasons(offer);
      if (!included) whole_bill(offer);
      answer(offer);
    }
    if (estimate_.with_all_offers) page_.row("the whole bill with all of these", column(*estimate_.with_all_offers));
    if (estimate_.stopped) afterwards();
  }

  void whole_bill(const EstimateLine& offer) {
    if (!offer.total_with) {
      page_.under("not in any total; we write you its price before you decide");
      return;
    }
    std::string text = fmt::format("{} the whole bill is {}", estimate_.stopped ? "after a yes" : "with it",
                                   column(*offer.total_with));
    for (const EstimateLine& fee : estimate_.lines) {
      if (fee.credited && estimate_.stopped)
        text += fmt::format("; the {} above is in it already", digits(fee.amount.typical));
    }
    if (!offer.deposit.is_zero() && offer.deposit != estimate_.deposit)
      text += fmt::format("; deposit before we begin, {}: {}", to_text(offer.deposit_share, Unit::percent),
                          column(offer.deposit));
    page_.under(text);
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
      page_.item(fmt::format("During the work we measure again: {}.", fmt::join(readings, "; ")));
      page_.more(fmt::format("What it may call for at no extra price: {}.", fmt::join(jobs, "; ")));
    }
    for (const Later& later : estimate_.later) {
      for (const EstimateLine& line : later.extra)
        page_.item(fmt::format("If {}{}: {}, {}.", later.decides ? "" : "we find that ",
                               later.reading + (later.decides ? " calls for it" : " is off"), line.label,
                               line.price.has_amount() ? more(line.amount) : "without a price yet, so we ask first"));
      for (const LaterAsk& ask : later.ask) page_.item(ask_text(later.reading, ask));
    }
  }

  std::string ask_text(const std::string& reading, const LaterAsk& ask) const {
    const std::string price = ask.line.price.has_amount() ? more(ask.line.amount) : "which has no price yet";
    if (ask.of_rule)
      return fmt::format("We look at {}. If that is the cause we can {}, {}, and ask you first.", reading,
                         ask.line.label, price);
    const std::string out = ask.when == Verdict::low ? "low" : ask.when == Verdict::high ? "high" : "off";
    const std::string asks = ask.likely ? fmt::format("we expect it to turn out {}, and then ask you first", out)
                                        : fmt::format("if it turns out {}, we ask you first", out);
    return fmt::format("{}: {}: {}, {}.", first_upper(reading), asks, ask.line.label, price);
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
    if (timing.wait_days_high > 0) page_.item(wait_text() + " of waiting in which nothing is charged");
    due();
  }

  // "7 to 21 days"; "49 h" where days would round up by more than they say.
  std::string wait_text() const {
    const Timing& timing = estimate_.timing;
    if (timing.wait_hours && *timing.wait_hours % 24 != 0 && *timing.wait_hours < 96)
      return fmt::format("{} h", *timing.wait_hours);
    const std::string from =
        timing.wait_days_low < timing.wait_days_high ? fmt::format("{} to ", timing.wait_days_low) : "";
    return from + days_text(timing.wait_days_high);
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

  // Nothing where nothing is done, asked or owed.
  void how_to_answer() {
    const int asked = asked_;
    std::vector<std::string> texts;
    if (!estimate_.stopped && !estimate_.begun && !estimate_.lines.empty() && !answered())
      texts.emplace_back(asked > 0 ? "Say yes or no to this paper as a whole; nothing is done before your yes."
                                   : "Say yes to this paper, and we begin; nothing is done before that.");
    const std::string ways =
        ways_.empty() ? "" : fmt::format(" Or name another way in place of the yes: \"{}\".", ways_.front());
    if (!chosen_.empty())
      texts.emplace_back(
          fmt::format("Say what you choose, where there are boxes to choose from: \"{}\".", chosen_.front()));
    if (asked == 1) texts.emplace_back("Answer line 1 with yes or no: \"1 yes\"." + ways + " No answer is a no.");
    if (asked > 1)
      texts.emplace_back(
          fmt::format("Answer each numbered line, 1 to {}, with yes or no: \"1 yes, 2 no\".{} "
                      "No answer is a no.",
                      asked, ways));
    const std::string sentence = ways_.empty()
                                     ? "I say yes to the work above, and to each extra whose yes is ticked."
                                     : "I say yes to the work above, to each extra whose yes is ticked, and to each "
                                       "other way that is ticked in its place.";
    if (!texts.empty()) page_.how_to_answer(texts, asked > 0 ? sentence : "I say yes to the work above.");
  }

  bool answered() const {
    return estimate_.ceiling || std::any_of(estimate_.lines.begin(), estimate_.lines.end(),
                                            [](const EstimateLine& line) { return line.agreed; });
  }

  void small_print() {
    std::vector<std::string> items;
    const bool due = !estimate_.lines.empty() || asks();
    if (due && !estimate_.stopped && !estimate_.finished)
      items.emplace_back(estimate_.kind == PaperKind::quote
                             ? "This is a quote: for the work written here, this is the price."
                             : "This is an estimate: it is what we expect, not a fixed price. We ask before it "
                               "costs more.");
    for (const std::string& caution : estimate_.cautions) items.push_back(first_upper(caution) + ".");
    if (!estimate_.assumed.empty())
      items.push_back(
          fmt::format("Taken to be in order, since nobody noted otherwise: {}.", fmt::join(estimate_.assumed, ", ")));
    if (due) add_terms(items);
    items.insert(items.end(), estimate_.shop_says.begin(), estimate_.shop_says.end());
    if (items.empty()) return;
    page_.small_print();
    page_.heading("GOOD TO KNOW");
    for (const std::string& item : items) page_.item(item);
  }

  bool asks() const {
    const auto waits = [](const EstimateLine& line) { return line.waits; };
    return std::any_of(estimate_.lines.begin(), estimate_.lines.end(), waits) || !estimate_.offers.empty();
  }

  void after_work() {
    std::vector<std::string> items;
    add_terms(items);
    items.insert(items.end(), estimate_.shop_says.begin(), estimate_.shop_says.end());
    if (items.empty()) return;
    page_.small_print();
    page_.heading("GOOD TO KNOW");
    for (const std::string& item : items) page_.item(item);
  }

  void add_terms(std::vector<std::string>& items) const {
    if (estimate_.warranty_days && !estimate_.stopped)
      items.push_back(fmt::format("We stand for our work for {}.", days_text(*estimate_.warranty_days)));
    if (!estimate_.storage || !estimate_.storage->free || !estimate_.storage->per_day) return;
    const auto days = in_unit(estimate_.storage->free->quantity.value, Unit::day);
    const auto daily = to_minor(estimate_.storage->per_day->quantity.value, estimate_.currency);
    items.push_back(fmt::format("Once it is ready, {} of keeping it are free; then {} a day.",
                                days ? days_text(days->num() / days->den()) : "some days",
                                daily ? money(*daily) : "a price"));
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
  int asked_ = 0;                    // lines that have a number to answer by
  std::vector<std::string> chosen_;  // of each choice before the work, its first way
  std::vector<std::string> ways_;    // other ways to answer one: "1a"
};

}  // namespace

void shop_lines(OwnerPage& page, const std::string& shop, const ShopContact& contact) {
  if (!shop.empty()) page.line(shop);
  std::vector<std::string> parts;
  for (const std::string* part : {&contact.address, &contact.phone, &contact.email}) {
    if (!part->empty()) parts.push_back(*part);
  }
  if (!parts.empty()) page.line(fmt::format("{}", fmt::join(parts, "; ")));
}

std::string instrument_line(const std::string& instrument, const std::string& id, const std::string& visit) {
  return fmt::format("{} ({}visit {})", instrument, id.empty() ? "" : id + ", ", visit);
}

void write_estimate(const Estimate& estimate, OwnerPage& page) { Paper(estimate, page).estimate(); }

void write_final(const Estimate& final_bill, const std::optional<Estimate>& told,
                 const std::vector<Difference>& differences, OwnerPage& page) {
  Paper(final_bill, page).final_bill(told, differences);
}

}  // namespace stringline
