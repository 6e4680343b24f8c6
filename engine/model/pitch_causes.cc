#include "engine/model/pitch_causes.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace stringline::model {
namespace {

// Both lists are brought to one length first, so that frets the reference does not list count as full and level.
void take_tops(FrettedString& string, const FrettedString& reference, double FretTop::*part) {
  string.tops.resize(std::max(string.tops.size(), reference.tops.size()));
  for (std::size_t i = 0; i < string.tops.size(); ++i) {
    string.tops[i].*part = i < reference.tops.size() ? reference.tops[i].*part : 0.0;
  }
}

}  // namespace

double CausesOfError::of(Cause cause) const {
  const auto found =
      std::find_if(shares.begin(), shares.end(), [cause](const CauseShare& s) { return s.cause == cause; });
  return found == shares.end() ? 0.0 : found->cents;
}

FrettedString without(FrettedString string, Cause cause, const FrettedString& reference) {
  switch (cause) {
    case Cause::nut_height: string.nut_height = reference.nut_height; break;
    case Cause::saddle_height: string.saddle_height = reference.saddle_height; break;
    case Cause::saddle_place: string.saddle_setback = reference.saddle_setback; break;
    case Cause::nut_place: string.nut_setback = reference.nut_setback; break;
    case Cause::touch: string.touch = reference.touch; break;
    case Cause::fret_height: take_tops(string, reference, &FretTop::height_mm); break;
    case Cause::flat_top: take_tops(string, reference, &FretTop::flat_mm); break;
    case Cause::string_stiffness: string.bending_radius = reference.bending_radius; break;
  }
  return string;
}

FrettedString causeless(const FrettedString& string) {
  FrettedString result;
  result.scale_mm = string.scale_mm;
  result.kappa = string.kappa;
  return result;
}

CausesOfError causes_of_error(const FrettedString& string, int fret) {
  return causes_of_error(string, fret, causeless(string));
}

CausesOfError causes_of_error(const FrettedString& string, int fret, const FrettedString& reference) {
  CausesOfError result;
  result.total = fretted_cents(string, fret).total();
  FrettedString bare = string;
  double explained = 0.0;
  for (std::size_t i = 0; i < all_causes.size(); ++i) {
    const Cause cause = all_causes[i];
    bare = without(std::move(bare), cause, reference);
    const double cents = result.total - fretted_cents(without(string, cause, reference), fret).total();
    result.shares[i] = {cause, cents};
    explained += cents;
  }
  result.reference = fretted_cents(bare, fret).total();
  result.together = result.total - result.reference - explained;
  return result;
}

}  // namespace stringline::model
