// A plan and the house's prices -> what the owner is told: what is done, what it costs, what needs a yes, and what stays without.
//
// Nothing is priced that the plan does not contain, but for `instead`: other jobs that the same table of the profile names for
// the same readings. The total holds everything planned, what still waits for a yes included; `if_no` is the bill after the
// plan has been made again without those jobs. Offers stand apart. A visit that is stopped or held owes its fee alone, and what
// the owner agreed to. A package is charged once when a job it covers is planned or done, and not beside a job that includes it.
// Amounts are whole minor units; line nets add up to the net, and net and tax to the total, in every rounding and tax mode.
// Not known here: how long the bench's queue is, and what was paid. Tested by tests/unit/estimate_test.cc (the reference bills),
// tests/property/estimate_test.cc, tests/golden/estimate.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/estimate/owner_words.h"
#include "engine/estimate/price.h"
#include "engine/plan/plan.h"
#include "engine/value/date.h"

namespace stringline {

// Another way to put the same readings right, with the whole bill if it were chosen.
struct Instead {
  JobId job = 0;
  std::string label;
  Price price;
  Cost total;
  std::vector<std::string> leaves;  // readings it would not put right
  std::string includes;             // the package that is in its price, where the bill has one
  std::string included_in;          // the package that it is part of; its own price is then nothing
};

enum class LineKind : std::uint8_t { package, work, step, rush, part, minimum, fee, credit };  // the order of the paper

struct EstimateLine {
  LineKind kind = LineKind::work;
  std::string name;  // as the files call it
  std::string label;
  std::optional<JobId> job;
  Price price;
  Cost amount;  // as the price list has it: with the tax in it where the house's prices hold it
  Cost net;
  Cost tax;
  Ratio tax_rate;
  bool waits = false;  // for a yes
  bool asked = false;
  bool agreed = false;
  bool done = false;
  bool credited = false;                 // a fee that comes off once the work goes ahead
  std::string included_in;               // a package: the job that includes it; then its amount is zero
  std::optional<Cost> listed;            // today's price where another one was agreed
  std::vector<std::string> covers;       // a package: its jobs, planned or done
  std::vector<std::string> covers_done;  // those of them that are done
  std::string for_what;                  // a package: what it is for, in the owner's words
  std::string places;                    // priced for each: "6 strings"; empty for one
  std::vector<std::string> why;          // for the owner
  std::vector<std::string> measured;     // the readings behind it
  std::vector<std::string> if_left;
  std::vector<Instead> instead;
  std::optional<Cost> total_with;  // an offer: the bill with it
  Ratio deposit_share;             // and what is asked of that bill before work begins
  Cost deposit;
};

struct TaxSum {
  Ratio rate;
  Cost net;
  Cost tax;
};

struct Bill {
  Cost net;
  Cost tax;
  Cost total;
  std::vector<TaxSum> taxes;  // by rate, rising
};

// Work that a reading may call for and that waits for a yes; in no sum.
struct LaterAsk {
  EstimateLine line;
  bool of_rule = false;         // else of the reading's own table:
  std::optional<Verdict> when;  // it turns out low, or high; nothing: either
  bool likely = false;          // it is expected to
};

// A reading that decides later, and what may follow.
struct Later {
  std::string reading;
  std::vector<std::string> jobs;    // that may follow and are covered
  std::vector<EstimateLine> extra;  // that may follow and cost more: at one place, up to all of the reading's
  std::vector<LaterAsk> ask;
  bool decides = false;  // the reading decides between the extras: one of them follows
};

// What may be due after a stop or a gate has let go.
struct Afterwards {
  std::string label;
  Cost price;
};

// Work behind a closed gate; it has no price yet.
struct Blocked {
  std::string after;
  std::vector<std::string> jobs;
};

struct Refused {
  std::string label;
  std::vector<std::string> stays;
};

// What the owner agreed the whole may cost, and whether it would cost more.
struct Ceiling {
  std::int64_t told = 0;
  std::optional<Ratio> leeway;  // ask_again: over 10 %
  Cost now;                     // the bill without what waits for a yes
  bool passed = false;          // as a rule
  bool may_pass = false;        // on a bad day
  bool ask_again = false;       // passed by more than the leeway
};

struct Timing {
  Minutes bench;
  std::int64_t wait_days_low = 0;  // days in which nothing is done
  std::int64_t wait_days_high = 0;
  std::optional<std::int64_t> wait_hours;  // where both ends are the same; rounded up
  std::optional<Date> due;
  std::optional<Date> earliest;  // today and the waiting
  std::optional<Date> latest;
};

// Where the shop is reached, as the house says it; each may be empty.
struct ShopContact {
  std::string address;
  std::string phone;
  std::string email;
};
[[nodiscard]] ShopContact contact_of(const HouseTree& house);

struct Estimate {
  PaperKind kind = PaperKind::estimate;
  Currency currency;
  DateForm date_form = DateForm::iso;
  bool tax_included = false;
  std::string shop;
  ShopContact contact;
  std::string visit;
  std::string owner;
  std::string instrument;
  std::string instrument_id;  // may be empty
  std::string says;           // the complaint
  Date date;
  std::optional<Date> valid_until;
  std::optional<std::int64_t> warranty_days;
  std::optional<StorageTree> storage;
  bool stopped = false;   // by a stop or a gate over the visit
  bool held = false;      // stopped, and by gates alone: it needs tuning, rest or dry air
  bool begun = false;     // something of it is done
  bool finished = false;  // all of it is

  std::vector<std::string> told;         // before the work
  std::vector<OwnerChoice> choices;      // under one of these
  std::vector<std::string> refer;        // to whom
  std::vector<std::string> at_once;      // what is done while it is stopped, at no price
  std::vector<std::string> paid_later;   // and what is done then, and is on the bill of what follows
  std::vector<std::string> rests;        // and what it waits for then
  std::optional<Afterwards> afterwards;  // stopped: the package that no offer holds
  std::vector<EstimateLine> lines;
  std::vector<EstimateLine> offers;
  std::vector<Later> later;
  std::vector<Blocked> blocked;
  std::vector<Refused> declined;
  std::vector<std::string> unpriced;  // lines without an amount
  Bill bill;
  std::optional<Cost> at_most;          // with all that `later` may add without a yes, where that is more
  std::optional<Cost> with_all_offers;  // where there are several
  std::optional<Bill> if_no;
  std::vector<std::string> gone_if_no;  // lines that go with what is refused
  std::vector<std::string> new_if_no;   // and lines that come in its place
  Ratio deposit_share;
  Cost deposit;
  std::optional<Ceiling> ceiling;
  Timing timing;
  std::vector<std::string> assumed;  // what nobody looked at and would matter, in the owner's words
  std::vector<std::string> cautions;
  std::vector<std::string> shop_says;
};

struct EstimateInput {
  const Program& program;
  const HouseTree& house;
  const VisitTree& visit;
  const Judgement& judgement;
  const Plan& plan;
  Date today;
  const LastVisit* last = nullptr;  // as it was judged with
};

// One line of the bill against what the owner was told.
struct Difference {
  std::string label;
  std::optional<Cost> told;  // absent: it was not on the paper
  std::optional<Cost> now;   // absent: it was not done
  std::string why;
};

// Nothing exactly when a sum does not fit, which is reported at the house's name.
[[nodiscard]] std::optional<Estimate> make_estimate(const EstimateInput& in, Diagnostics& out);
// The bill of what the log says was done, at agreed prices. Time that no one logged counts as it usually is.
[[nodiscard]] std::optional<Estimate> make_final(const EstimateInput& in, Diagnostics& out);
// Line by line, in the order of the bill; lines that came out as told are not here.
[[nodiscard]] std::vector<Difference> differences(const Estimate& told, const Estimate& now, const EstimateInput& in);

}  // namespace stringline
