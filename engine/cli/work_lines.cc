// See work_lines.h.
#include "engine/cli/work_lines.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <condition_variable>
#include <cstring>
#include <deque>
#include <exception>
#include <filesystem>
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
#include "engine/cli/work.h"
#include "engine/diag/render.h"
#include "engine/paper/verdict_line.h"
#include "engine/text/limits.h"

namespace stringline {
namespace {

namespace fs = std::filesystem;
using Batch = std::vector<VisitAsked>;

// The worse of two ways to end.
int worse(int a, int b) {
  constexpr int order[] = {2, 3, 1, 4, 0};
  return *std::find_if(std::begin(order), std::end(order), [&](int each) { return each == a || each == b; });
}

std::string one_line(const Json& document) {
  return document.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

// One worker: visits in, lines out.
class Worker {
 public:
  explicit Worker(const Options& options)
      : options_(options),
        day_(day_of(options)),
        stream_(options.shipped, options.house, options.verdicts ? options.today : std::optional(day_)) {}

  struct Done {
    std::string lines;
    int status = 0;
  };

  Done work(const Batch& batch) {
    Done done;
    std::vector<std::string> lines(batch.size());
    std::map<VerdictLines::Kind*, Plain> plain;
    for (std::size_t i = 0; i < batch.size(); ++i) {
      auto taken = reads_plainly(batch[i]) ? verdict_lines_.take(batch[i].json) : std::nullopt;
      if (taken) {
        Plain& together = plain[taken->kind];
        together.at.push_back(i);
        together.visits.push_back(std::move(taken->visit));
        together.readings.push_back(std::move(taken->readings));
      } else {
        lines[i] = whole_way(batch[i], done.status);
      }
    }
    for (auto& [kind, together] : plain) judge_together(*kind, together, batch, lines, done.status);
    for (const std::string& line : lines) done.lines += line;
    return done;
  }

 private:
  // Lines of one kind, which are judged together.
  struct Plain {
    std::vector<std::size_t> at;  // in the batch
    std::vector<std::string> visits;
    std::vector<Readings> readings;
  };

  // No reading ages, and no reasons are wanted.
  bool reads_plainly(const VisitAsked& asked) const {
    return options_.verdicts && !options_.today && asked.path.empty();
  }

  void judge_together(VerdictLines::Kind& kind, const Plain& together, const Batch& batch,
                      std::vector<std::string>& lines, int& status) {
    auto& paper = papers_[&kind];
    if (!paper) paper = std::make_unique<VerdictPaper>(kind.program);
    const auto found = kind.judge.judge(together.readings);
    for (std::size_t i = 0; i < found.size(); ++i) {
      status = worse(status, status_of(found[i]));
      lines[together.at[i]] = paper->line(batch[together.at[i]].from, together.visits[i], kind.told, found[i]);
    }
  }

  static int status_of(const QuickJudgement& found) {
    return std::count(found.rules.begin(), found.rules.end(), RuleState::error) > 0 ? 3 : 0;
  }

  std::string whole_way(const VisitAsked& asked, int& status) {
    try {
      VisitStream::Found found = stream_.open(asked);
      std::string line = !found.open         ? wrong(asked, found, status)
                         : options_.verdicts ? verdicts(asked, found, status)
                                             : work(asked, found, status);
      stream_.forget(found);
      return line;
    } catch (const WorldError& error) {
      status = worse(status, 2);
      Json document = json_error(error.what());
      document["from"] = asked.from;
      return one_line(document);
    }
  }

  static std::string wrong(const VisitAsked& asked, const VisitStream::Found& found, int& status) {
    status = worse(status, 3);
    Json document = json_head("work", found.told, *found.sources);
    document["from"] = asked.from;
    return one_line(document);
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
    return one_line(document);
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
    if (batch.empty()) return;
    if (alone_) return write(alone_->work(batch));
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
        more_.wait(lock, [&] { return !waiting_.empty() || ended_ || failed_; });
        if (failed_ || waiting_.empty()) return;
        const auto [number, batch] = std::move(waiting_.front());
        waiting_.pop_front();
        room_.notify_one();
        lock.unlock();
        Worker::Done done = worker.work(batch);
        lock.lock();
        done_.emplace(number, std::move(done));
        for (auto next = done_.find(written_); next != done_.end(); next = done_.find(written_)) {
          write(next->second);
          done_.erase(next);
          ++written_;
        }
      }
    } catch (...) {
      const std::lock_guard lock(mutex_);
      if (!failed_) failed_ = std::current_exception();
      more_.notify_all();
      room_.notify_all();
    }
  }

  void write(const Worker::Done& done) {
    status_ = worse(status_, done.status);
    if (options_.output.empty())
      print_result(done.lines);
    else
      kept_ += done.lines;
  }

  const Options& options_;
  std::unique_ptr<Worker> alone_;
  std::vector<std::thread> threads_;
  std::mutex mutex_;  // of all that follows
  std::condition_variable more_, room_;
  std::deque<std::pair<std::size_t, Batch>> waiting_;
  std::map<std::size_t, Worker::Done> done_;
  std::size_t asked_ = 0;
  std::size_t written_ = 0;
  bool ended_ = false;
  std::exception_ptr failed_;
  int status_ = 0;
  std::string kept_;  // for --output, whole or not at all
};

// What the command line and the lines of its inputs ask for.
class Intake {
 public:
  explicit Intake(Crew& crew) : crew_(crew) {}

  void path(const std::string& path) {
    std::error_code error;
    if (path == "-") return lines(STDIN_FILENO, "<stdin>");
    if (fs::is_directory(path, error)) return folder(path);
    if (fs::path(path).extension() != ".jsonl") return file(path);
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) return file(path);  // where it is told that it can not be read
    lines(descriptor, path);
    ::close(descriptor);
  }

  void flush() { crew_.add(std::exchange(batch_, {})); }

 private:
  static constexpr std::size_t files_at_once = 4;

  void file(const std::string& path) {
    batch_.push_back({path, path, ""});
    if (batch_.size() >= files_at_once) flush();
  }

  // A house's visits, else the visits in the folder.
  void folder(const std::string& path) {
    std::error_code error;
    const fs::path visits =
        fs::exists(fs::path(path) / "house.yaml", error) ? fs::path(path) / "visits" : fs::path(path);
    std::vector<std::string> found;
    for (const auto& entry : fs::directory_iterator(visits, error)) {
      const fs::path& each = entry.path();
      if (each.extension() == ".yaml" && each.stem().extension() != ".trials")
        found.push_back(each.lexically_normal().string());
    }
    std::sort(found.begin(), found.end());
    if (found.empty()) return file(path);  // nothing in it is no visit either: it is told
    for (const std::string& each : found) file(each);
  }

  // What has come is worked on before more is waited for.
  void lines(int descriptor, const std::string& name) {
    flush();
    std::string rest;
    std::size_t number = 0;
    std::vector<char> chunk(std::size_t{1} << 18U);
    while (true) {
      const ssize_t got = ::read(descriptor, chunk.data(), chunk.size());
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) throw WorldError(fmt::format("can not read '{}': {}", name, std::strerror(errno)));
      rest.append(chunk.data(), static_cast<std::size_t>(got));
      std::size_t begin = 0;
      for (std::size_t end = rest.find('\n'); end != std::string::npos; end = rest.find('\n', begin)) {
        line(std::string_view(rest).substr(begin, end - begin), name, ++number);
        begin = end + 1;
      }
      rest.erase(0, begin);
      if (got == 0 && !rest.empty()) line(rest, name, ++number);
      if (rest.size() > 2 * limits::now().file_bytes) rest.resize(limits::now().file_bytes + 1);  // refused as too long
      flush();
      if (got == 0) return;
    }
  }

  void line(std::string_view text, const std::string& name, std::size_t number) {
    const std::size_t begin = text.find_first_not_of(" \t\r");
    if (begin == std::string_view::npos) return;
    text = text.substr(begin, text.find_last_not_of(" \t\r") + 1 - begin);
    if (text.front() == '{')
      batch_.push_back({fmt::format("{}, line {}", name, number), "", std::string(text)});
    else
      path(std::string(text));
  }

  Crew& crew_;
  Batch batch_;
};

}  // namespace

int work_lines(const Options& options) {
  Crew crew(options);
  Intake intake(crew);
  if (options.paths.empty()) intake.path("-");
  for (const std::string& path : options.paths) intake.path(path);
  intake.flush();
  return crew.finish();
}

}  // namespace stringline
