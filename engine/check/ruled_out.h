// Jobs that the facts of one instrument rule out: where the bridge stands on wood, nobody turns its thumbwheels.
// Tested by tests/golden/check/did_*.case.
#pragma once

#include <optional>
#include <string>

#include "engine/check/program.h"

namespace stringline {

struct RuledOut {
  std::string why;               // "height_by is wood"; empty where the table asks for more than a fact
  std::optional<JobId> instead;  // what the same table names here
};

// `program` with its targets, gates, stops and rules bound. Nothing for a job that something may still call here, that is
// routine, or that nothing calls at all: the bench may do more than its profile plans.
[[nodiscard]] std::optional<RuledOut> ruled_out(const Program& program, JobId job);

}  // namespace stringline
