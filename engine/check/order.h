// Proves the house's order of phases against the physics: where a later phase moves what an earlier one set.
//
// Job A disturbs a reading q by disturb.h. A conflict is a job A in a later phase than job B, where A disturbs q, B sets q, q
// has a turn of its own, and B disturbs nothing that A sets. Where B does, the two are a knot, and the order is the house's
// choice (nut and saddle: each moves what the other sets). What one job sets, it may move again itself. A is a job of the
// regular work, routine or called by a target: a repair that a rule finds is made where it stands, and what it moves is read
// again whatever the order.
// Example: order [bridge_height, rod] with tighten_rod and lower_bridge is one conflict: the rod moves the action, the saddle
// does not move the relief. Order [nut, bridge_height] is none.
// Reported once for a pair of phases over all profiles, at the later phase in the house's order.
// Tested by tests/unit/order_test.cc and tests/golden/check/order_undoes.case.
#pragma once

#include <string>
#include <vector>

#include "engine/check/program.h"
#include "engine/diag/diagnostic.h"

namespace stringline {

struct OrderConflict {
  int late_phase = 0;
  int early_phase = 0;
  JobId late_job = 0;
  JobId early_job = 0;
  std::vector<ReadingId> readings;  // that the late one moves and the early one sets, by number

  friend bool operator==(const OrderConflict&, const OrderConflict&) = default;
};

// By phases, then jobs.
[[nodiscard]] std::vector<OrderConflict> prove_order(const Program& program);

// The conflicts of all `programs`, which were checked against one house. Says nothing of a house without an order.
void report_order(const std::vector<const Program*>& programs, Diagnostics& out);

}  // namespace stringline
