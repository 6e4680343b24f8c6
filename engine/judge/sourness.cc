// See sourness.h.
#include "engine/judge/sourness.h"

#include <algorithm>
#include <cmath>

#include "engine/judge/heights.h"
#include "engine/judge/pull.h"
#include "engine/model/chord.h"
#include "engine/model/frets.h"
#include "engine/model/pitch_causes.h"
#include "engine/model/saddle_place.h"
#include "engine/model/string_data.h"

namespace stringline {
namespace {

constexpr double core_share = 0.4;    // of a wound steel string's diameter; default, no source
constexpr double heard_cents = 2.0;   // common practice, no source: nobody hears less
constexpr double nylon_stretch = 25;  // R, middle of the published strings

struct StringData {
  double kappa = 0;
  double radius = 0;
  std::string assumed;
};

std::optional<StringData> data_of(const Program& program, std::size_t at) {
  const StringInfo& string = program.strings[at];
  if (!string.gauge || !string.pitch) return std::nullopt;
  const double diameter = string.gauge->diameter.to_double();
  if (fact_state(program, "string_material") == "nylon")
    return StringData{model::kappa_of_stretch(nylon_stretch), 0.5 * diameter,
                      "nylon strings stretch like the published ones"};
  const double hertz = frequency(*string.pitch);
  const double core = string.gauge->wound ? core_share * diameter : diameter;
  const double pull = model::tension(mass_of(*string.gauge), program.scale_of(at), hertz);
  const double kappa = model::kappa_of_modulus(model::steel_modulus_mpa, model::round_area(0.5 * core), pull);
  return StringData{
      kappa, 0.5 * core,
      string.gauge->wound ? "wound strings have a core of 0.4 of their diameter and weigh 0.82 of solid steel" : ""};
}

const char* words(model::Cause cause) {
  switch (cause) {
    case model::Cause::nut_height: return "the nut's height";
    case model::Cause::saddle_height: return "the saddle's height";
    case model::Cause::saddle_place: return "the saddle's place";
    case model::Cause::nut_place: return "the nut's place";
    case model::Cause::touch: return "the hand";
    case model::Cause::fret_height: return "the neck's bend";
    case model::Cause::flat_top: return "worn fret tops";
    case model::Cause::string_stiffness: return "the string's stiffness";
  }
  return "";
}

// The octave error that was read on a string, in cents.
std::optional<double> octave_error(const Program& program, const Judgement& judgement, int string) {
  for (PointId point = 0; point < program.points.size(); ++point) {
    const ReadingInfo& info = program.reading_of(point);
    const PointState& state = judgement.points[point];
    const bool cents = info.type.kind == Kind::number && info.type.dimension == dimension::cents;
    if (!cents || program.points[point].at[static_cast<std::size_t>(Axis::string)] != string) continue;
    if (state.status == PointState::Status::read && state.value.number.is_point())
      return state.value.number.lo->to_double();
  }
  return std::nullopt;
}

// The setback with which the 12th is out by `cents`.
double setback_for(model::FrettedString string, double cents) {
  for (int step = 0; step < 40; ++step) {
    const double out = model::fretted_cents(string, 12).total() - cents;
    string.saddle_setback += out / model::cents_per_mm(model::lengths_of({string.scale_mm, string.saddle_setback}));
  }
  return string.saddle_setback;
}

class Chords {
 public:
  Chords(const Program& program, const Judgement& judgement)
      : program_(program), judgement_(judgement), now_(program, judgement), aimed_(program, judgement, true) {}

  SourChord of(const std::string& written) const {
    SourChord chord;
    chord.written = written;
    const auto frets = model::parse_chord(written);
    if (!frets) return chord;
    for (std::size_t i = 0; i < frets->size(); ++i) {
      const int string = static_cast<int>(frets->size() - 1 - i);  // thickest first
      const auto& fret = (*frets)[i];
      if (fret && *fret > 0) add_note(chord, string, *fret);
    }
    finish(chord, std::count(frets->begin(), frets->end(), std::optional(0)) > 0);
    return chord;
  }

 private:
  void add_note(SourChord& chord, int string, int fret) const {
    const auto as_is = fretted(now_, string, chord);
    if (!as_is) return;
    auto reference = fretted(aimed_, string, chord);
    if (!reference) return;
    const auto read = octave_error(program_, judgement_, string);
    model::FrettedString is = *as_is;
    is.saddle_setback = setback_for(is, read.value_or(0.0));
    reference->saddle_setback = setback_for(*reference, 0.0);
    const auto causes = model::causes_of_error(is, fret, *reference);
    SourNote note{string, fret, causes.total, {}};
    for (const model::CauseShare& share : causes.shares) {
      if (std::abs(share.cents) >= 0.05) note.causes.push_back({words(share.cause), share.cents});
    }
    std::stable_sort(note.causes.begin(), note.causes.end(),
                     [](const SourCause& a, const SourCause& b) { return std::abs(a.cents) > std::abs(b.cents); });
    chord.notes.push_back(std::move(note));
  }

  std::optional<model::FrettedString> fretted(const Heights& heights, int string, SourChord& chord) const {
    const auto miss = [&](const std::string& what) {
      if (std::count(chord.missing.begin(), chord.missing.end(), what) == 0) chord.missing.push_back(what);
      return std::nullopt;
    };
    const auto at = static_cast<std::size_t>(string);
    const auto data = data_of(program_, at);
    if (!data) return miss("the strings' gauges and tuning");
    const auto nut = heights.nut(string);
    const auto saddle = heights.saddle(string);
    const auto bend = heights.bend();
    if (!nut || !saddle || !bend) return miss("nut gap, action and relief");
    if (!data->assumed.empty() && std::count(chord.assumed.begin(), chord.assumed.end(), data->assumed) == 0)
      chord.assumed.push_back(data->assumed);
    model::FrettedString fretted;
    fretted.scale_mm = program_.scale_of(at);
    fretted.nut_height = *nut;
    fretted.saddle_height = *saddle;
    fretted.kappa = data->kappa;
    fretted.bending_radius = data->radius;
    const model::NeckGeometry neck{fretted.scale_mm, program_.frets, program_.body_joint, 0, program_.zero_fret};
    for (int fret = 1; fret <= program_.frets; ++fret) {
      const double x = model::fret_share(fret);
      fretted.tops.push_back({*bend * model::fret_line(x, neck.joint()).at(program_.neck_shape.middle()), 0.0});
    }
    return fretted;
  }

  static void finish(SourChord& chord, bool open) {
    if (!chord.missing.empty()) chord.notes.clear();
    if (chord.notes.empty()) return;
    std::stable_sort(chord.notes.begin(), chord.notes.end(),
                     [](const SourNote& a, const SourNote& b) { return a.cents > b.cents; });
    const double sharpest = chord.notes.front().cents;
    const double flattest = chord.notes.back().cents;
    chord.spread = open ? std::max(sharpest, 0.0) - std::min(flattest, 0.0) : sharpest - flattest;
    chord.heard = std::max({chord.spread, std::abs(sharpest), std::abs(flattest)}) >= heard_cents;
  }

  const Program& program_;
  const Judgement& judgement_;
  Heights now_;
  Heights aimed_;
};

}  // namespace

std::vector<SourChord> sourness(const Program& program, const Judgement& judgement) {
  std::vector<SourChord> all;
  if (program.chords.empty()) return all;
  const Chords chords(program, judgement);
  for (const std::string& written : program.chords) all.push_back(chords.of(written));
  return all;
}

}  // namespace stringline
