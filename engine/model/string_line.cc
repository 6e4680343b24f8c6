#include "engine/model/string_line.h"

#include <algorithm>
#include <cmath>

#include "engine/model/frets.h"

namespace stringline::model {
namespace {

// A height above the neck plane as a linear form of the state, at one place.
struct Height {
  double x = 0.0;
  GapRow form;
};

void add(GapRow& sum, const GapRow& form, double weight) {
  sum.nut_height += weight * form.nut_height;
  sum.saddle_height += weight * form.saddle_height;
  sum.neck_bend.base += weight * form.neck_bend.base;
  sum.neck_bend.extra += weight * form.neck_bend.extra;
  sum.pickup_height += weight * form.pickup_height;
  sum.fret_plane += weight * form.fret_plane;
  for (const FretTerm& term : form.rises) {
    if (weight != 0.0) sum.rises.push_back({term.fret, weight * term.coefficient});
  }
}

Height nut_height(const NeckGeometry& neck) {
  Height nut{neck.start(), {}};
  nut.form.nut_height = 1.0;
  nut.form.neck_bend = fret_line(nut.x, neck.joint());
  nut.form.fret_plane = neck.zero_fret ? -1.0 : 0.0;
  return nut;
}

Height saddle_height() {
  Height saddle{1.0, {}};
  saddle.form.saddle_height = 1.0;
  return saddle;
}

// Between frets there is a line but no fret, so no rise of its own.
Height fret_top(const NeckGeometry& neck, double fret) {
  Height top{fret_share(fret), {}};
  top.form.neck_bend = fret_line(top.x, neck.joint());
  top.form.fret_plane = -1.0;
  if (fret == std::floor(fret)) top.form.rises.push_back({static_cast<int>(fret), 1.0});
  return top;
}

Height pickup_top(const NeckGeometry& neck, double share) {
  Height top{share, {}};
  top.form.neck_bend = fret_line(share, neck.joint());
  top.form.pickup_height = 1.0;
  return top;
}

bool possible(const NeckGeometry& neck, const GapMethod& method) {
  if (!(neck.joint() > 0.0) || !(neck.joint() < 1.0)) return false;
  double before = neck.first_fret;
  for (const double fret : method.held) {
    if (!(fret > before) || fret > neck.frets) return false;
    before = fret;
  }
  if (method.station == Station::pickup) return method.at > fret_share(before) && method.at < 1.0;
  const bool on_held = std::find(method.held.begin(), method.held.end(), method.at) != method.held.end();
  return method.at > neck.first_fret && method.at <= neck.frets && !on_held;
}

void sort_by_fret(std::vector<FretTerm>& terms) {
  std::sort(terms.begin(), terms.end(), [](const FretTerm& a, const FretTerm& b) { return a.fret < b.fret; });
}

}  // namespace

double NeckGeometry::joint() const { return fret_share(joint_fret); }
double NeckGeometry::start() const { return fret_share(first_fret); }

PhiLinear fret_line(double x, double joint) {
  if (x <= joint) return {-4.0 * x * (joint - x) / (joint * joint), 0.0};
  return {0.0, 4.0 * (x / joint - 1.0)};
}

std::optional<GapRow> gap_row(const NeckGeometry& neck, const GapMethod& method) {
  if (!possible(neck, method)) return std::nullopt;
  const Height under = method.station == Station::fret ? fret_top(neck, method.at) : pickup_top(neck, method.at);
  Height left = nut_height(neck);
  Height right = saddle_height();
  for (const double fret : method.held) {
    const Height hold = fret_top(neck, fret);
    if (hold.x > under.x) {
      right = hold;
      break;
    }
    left = hold;
  }
  const double toward_right = (under.x - left.x) / (right.x - left.x);
  GapRow row;
  add(row, left.form, 1.0 - toward_right);
  add(row, right.form, toward_right);
  add(row, under.form, -1.0);
  sort_by_fret(row.rises);
  return row;
}

double rise_share(const GapRow& row, const std::vector<FretRise>& rises) {
  double sum = 0.0;
  for (const FretTerm& term : row.rises) {
    for (const FretRise& rise : rises) {
      if (rise.fret == term.fret) sum += term.coefficient * rise.height_mm;
    }
  }
  return sum;
}

double gap(const GapRow& row, const StringState& state, double phi) {
  return row.nut_height * state.nut_height + row.saddle_height * state.saddle_height +
         row.neck_bend.at(phi) * state.neck_bend + row.pickup_height * state.pickup_height +
         rise_share(row, state.rises);
}

}  // namespace stringline::model
