// See work_lines.h.
#include "engine/cli/work_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <map>
#include <mutex>
#include <nlohmann/json.hpp>
#include <thread>
#include <utility>
#include <vector>

#include "engine/book/verdict_lines.h"
#include "engine/book/visit_stream.h"
#include "engine/cli/session.h"
#include "engine/cli/visit_intake.h"
#include "engine/cli/work.h"
#include "engine/diag/render.h"
#include "engine/paper/verdict_line.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

// The worse of two ways to end.
int worse(int a, int b) {
  constexpr int order[] = {2, 3, 1, 4, 0};
  return *std::find_if(std::begin(order), std::end(order), [&](int each) { return each == a || each == b; });
}

// What may wait to be written, roughly: results of one batch in a worker, and results of later batches than the one whose turn it is.
constexpr std::size_t bytes_in_hand = std::size_t{1} << 20U;
constexpr std::size_t bytes_ahead = std::size_t{1} << 23U;

// Lines of verdicts are judged together.
std::size_t lines_at_once(const Options& options) { return options.verdicts ? 64 : 4; }

// One worker: visits in, lines out.
class Worker {
 public:
  explicit Worker(const Options& options)
      : options_(options),
        day_(day_of(options)),
        stream_(options.shipped, options.house, options.verdicts ? options.today : std::optional(day_)) {}

  // Lines that are done, in their order, and the worst status so far.
  using Emit = std::function<void(const std::string& lines, int status)>;

  void work(const Batch& batch, const Emit& emit) {
    Part part{batch, emit, std::vector<std::string>(batch.size())};
    for (std::size_t i = 0; i < batch.size(); ++i) {
      auto taken = reads_plainly(batch[i]) ? verdict_lines_.take(batch[i].json) : std::nullopt;
      if (taken) {
        Plain& together = part.plain[taken->kind];
        together.at.push_back(i);
        together.visits.push_back(std::move(taken->visit));
        together.readings.push_back(std::move(taken->readings));
        part.bytes += bytes_of_a_name * taken->kind->program.points.size();
      } else {
        part.lines[i] = bounded(batch[i], whole_way(batch[i], part.status), part.status);
        part.bytes += part.lines[i].size();
      }
      if (!options_.verdicts || part.bytes > bytes_in_hand) emit_until(part, i + 1);
    }
    emit_until(part, batch.size());
  }

 private:
  static constexpr std::size_t bytes_of_a_name = 16;

  // Lines of one kind, which are judged together.
  struct Plain {
    std::vector<std::size_t> at;  // in the batch
    std::vector<std::string> visits;
    std::vector<Readings> readings;
  };

  // Of a batch, what is not written yet.
  struct Part {
    const Batch& batch;
    const Emit& emit;
    std::vector<std::string> lines;
    std::map<VerdictLines::Kind*, Plain> plain{};
    std::size_t begin = 0;
    std::size_t bytes = 0;  // about
    int status = 0;
  };

  void emit_until(Part& part, std::size_t end) {
    if (part.begin == end) return;
    for (auto& [kind, together] : part.plain) judge_together(*kind, together, part);
    std::string lines;
    for (; part.begin < end; ++part.begin) lines += std::exchange(part.lines[part.begin], {});
    part.plain.clear();
    part.bytes = 0;
    part.emit(lines, part.status);
  }

  // No reading ages, and no reasons are wanted.
  bool reads_plainly(const VisitAsked& asked) const {
    return options_.verdicts && !options_.today && asked.path.empty() && asked.wrong.empty();
  }

  void judge_together(VerdictLines::Kind& kind, const Plain& together, Part& part) {
    auto& paper = papers_[&kind];
    if (!paper) paper = std::make_unique<VerdictPaper>(kind.program);
    const auto found = kind.judge.judge(together.readings);
    for (std::size_t i = 0; i < found.size(); ++i) {
      const VisitAsked& asked = part.batch[together.at[i]];
      part.status = worse(part.status, status_of(found[i]));
      part.lines[together.at[i]] =
          bounded(asked, paper->line(asked.from, together.visits[i], kind.told, found[i]), part.status);
    }
  }

  static int status_of(const QuickJudgement& found) {
    return std::count(found.rules.begin(), found.rules.end(), RuleState::error) > 0 ? 3 : 0;
  }

  // An error in the place of what is too long.
  static std::string bounded(const VisitAsked& asked, std::string line, int& status) {
    const std::string why = why_too_long(line);
    return why.empty() ? std::move(line) : failed(asked, why, status);
  }

  std::string whole_way(const VisitAsked& asked, int& status) {
    if (!asked.wrong.empty()) return failed(asked, asked.wrong, status);
    try {
      VisitStream::Found found = stream_.open(asked);
      std::string line = !found.open         ? wrong(asked, found, status)
                         : options_.verdicts ? verdicts(asked, found, status)
                                             : work(asked, found, status);
      stream_.forget(found);
      return line;
    } catch (const WorldError& error) {
      const std::string place = asked.named_in.empty() ? "" : fmt::format("; {} names it", asked.named_in);
      return failed(asked, error.what() + place, status);
    }
  }

  static std::string failed(const VisitAsked& asked, const std::string& why, int& status) {
    status = worse(status, 2);
    Json document = json_error(why);
    document["from"] = asked.from;
    return json_line(document);
  }

  static std::string wrong(const VisitAsked& asked, const VisitStream::Found& found, int& status) {
    status = worse(status, 3);
    Json document = json_head("work", found.told, *found.sources);
    document["from"] = asked.from;
    return json_line(document);
  }

  std::string verdicts(const VisitAsked& asked, const VisitStream::Found& found, int& status) {
    const OpenVisit& visit = *found.open;
    const QuickJudgement verdicts = verdicts_of(visit.judgement);
    status = worse(status, status_of(verdicts));
    const std::string told =
        Json::parse(render_json(found.told, *found.sources)).dump(-1, ' ', false, Json::error_handler_t::replace);
    if (reads_plainly(asked)) verdict_lines_.learn(visit, found.told, told);
    return VerdictPaper(visit.program).line(asked.from, visit.program.visit, told, verdicts);
  }

  std::string work(const VisitAsked& asked, VisitStream::Found& found, int& status) const {
    const Work work = work_of(*found.open, day_, found.told);
    status = worse(status, work.status);
    Json document = json_head("work", found.told, *found.sources);
    document["from"] = asked.from;
    add_work(document, *found.open, work, *found.sources);
    return json_line(document);
  }

  const Options& options_;
  Date day_;
  VisitStream stream_;
  VerdictLines verdict_lines_;
  std::map<VerdictLines::Kind*, std::unique_ptr<VerdictPaper>> papers_;
};

// Batches to workers, their lines out in order. With one job everything is done where it is asked.
class Crew {
 public:
  explicit Crew(const Options& options) : options_(options) {
    if (options.jobs == 1) {
      alone_ = std::make_unique<Worker>(options);
      return;
    }
    for (unsigned i = 0; i < options.jobs; ++i) threads_.emplace_back([this] { run(); });
  }
  ~Crew() { end(); }
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;

  void add(Batch batch) {
    if (alone_) return alone_->work(batch, [this](const std::string& lines, int status) { write(lines, status); });
    std::unique_lock lock(mutex_);
    room_.wait(lock, [&] { return waiting_.size() < 4 * threads_.size() || failed_; });
    if (failed_) std::rethrow_exception(failed_);
    waiting_.emplace_back(asked_++, std::move(batch));
    more_.notify_one();
  }

  int finish() {
    end();
    if (failed_) std::rethrow_exception(failed_);
    if (!options_.output.empty()) Session(options_).result(kept_);
    return status_;
  }

 private:
  // A batch that somebody works on, or that is done before its turn.
  struct Begun {
    std::string lines;
    int status = 0;
    bool done = false;
  };

  void end() {
    {
      const std::lock_guard lock(mutex_);
      ended_ = true;
    }
    more_.notify_all();
    for (std::thread& thread : threads_) thread.join();
    threads_.clear();
  }

  void run() {
    try {
      Worker worker(options_);
      while (true) {
        std::unique_lock lock(mutex_);
        more_.wait(lock, [&] { return failed_ || (waiting_.empty() ? ended_ : may_begin(waiting_.front().first)); });
        if (failed_ || waiting_.empty()) return;
        const auto [number, batch] = std::move(waiting_.front());
        waiting_.pop_front();
        begun_[number];
        room_.notify_one();
        lock.unlock();
        worker.work(batch, [this, at = number](const std::string& lines, int status) { emit(at, lines, status); });
        lock.lock();
        begun_[number].done = true;
        if (number == turn_) next_turn();
      }
    } catch (...) {
      const std::lock_guard lock(mutex_);
      if (!failed_) failed_ = std::current_exception();
      more_.notify_all();
      room_.notify_all();
    }
  }

  // Nobody works far ahead of the batch whose turn it is to be written.
  bool may_begin(std::size_t number) const { return number == turn_ || ahead_ < bytes_ahead; }

  void emit(std::size_t number, const std::string& lines, int status) {
    const std::lock_guard lock(mutex_);
    if (failed_) return;
    if (number == turn_) return write(lines, status);
    Begun& begun = begun_[number];
    begun.lines += lines;
    begun.status = status;
    ahead_ += lines.size();
  }

  void next_turn() {
    for (auto at = begun_.find(turn_); at != begun_.end() && at->second.done; at = begun_.find(turn_)) {
      begun_.erase(at);
      const auto next = begun_.find(++turn_);
      if (next == begun_.end()) break;
      ahead_ -= next->second.lines.size();
      write(std::exchange(next->second.lines, {}), next->second.status);
    }
    more_.notify_all();
  }

  void write(const std::string& lines, int status) {
    status_ = worse(status_, status);
    if (options_.output.empty()) return print_part(lines);
    kept_ += lines;
    if (kept_.size() > limits::now().output_bytes)
      throw WorldError(
          fmt::format("all objects together hold more than the {} bytes that are written to one file; standard "
                      "output takes any number of them{}",
                      limits::now().output_bytes, limits::or_allow_more("output_bytes")));
  }

  const Options& options_;
  std::unique_ptr<Worker> alone_;
  std::vector<std::thread> threads_;
  std::mutex mutex_;  // of all that follows
  std::condition_variable more_, room_;
  std::deque<std::pair<std::size_t, Batch>> waiting_;
  std::map<std::size_t, Begun> begun_;
  std::size_t asked_ = 0;
  std::size_t turn_ = 0;   // the batch that is written as it is done
  std::size_t ahead_ = 0;  // bytes that wait for their turn
  bool ended_ = false;
  std::exception_ptr failed_;
  int status_ = 0;
  std::string kept_;  // for --output, whole or not at all
};

}  // namespace

int work_lines(const Options& options) {
  Crew crew(options);
  VisitIntake intake(lines_at_once(options), [&](Batch batch) { crew.add(std::move(batch)); });
  if (options.paths.empty()) intake.argument("-");
  for (const std::string& path : options.paths) intake.argument(path);
  intake.flush();
  return crew.finish();
}

}  // namespace stringline
