#include "headjoint/cli/practice_loop.h"

#include <istream>
#include <ostream>
#include <string>

#include "headjoint/assess/results_practice.h"
#include "headjoint/base/text.h"
#include "headjoint/cli/command_line.h"
#include "headjoint/report/practice_text.h"

namespace headjoint::cli {
namespace {

constexpr std::size_t kLongestLine = 2000;
constexpr const char* kHelp =
    "Type the number or the name of a check, and a place if only one is wanted: 12, leak-down 2, air-at-neighbour 2-3.\n"
    "  list    the checks with what they cost now\n"
    "  names   the faults that can be named\n"
    "  bought  what was seen so far\n"
    "  story   what the owner tells\n"
    "  name    ends the game: name joint 2-3; name gas_to_neighbour 2-3, thermostat; name nothing\n"
    "  quit    leave without an answer\n";

const assess::PracticeAnswer& state_of(const assess::Reply& reply) { return assess::content_of<assess::PracticeAnswer>(reply); }

/// The game between two lines.
class Game {
 public:
  Game(const assess::Operation& practice, assess::Request request, assess::Reply first, std::ostream& out)
      : practice_(practice), request_(std::move(request)), reply_(std::move(first)), out_(out) {}

  void open() { out_ << report::practice_story(state()) << report::practice_offers(state()) << "\n" << kHelp; }

  /// @returns whether the game goes on
  bool take(const std::string& line) {
    const std::string word = lower_case(trimmed(line));
    if (word.empty()) return true;
    if (word == "quit" || word == "q" || word == "exit") {
      out_ << "Left without an answer. The same engine again: practice --seed " << state().seed << " --level " << state().level << "\n";
      return false;
    }
    if (word == "help" || word == "?" || word == "h")
      out_ << kHelp;
    else if (word == "list" || word == "l")
      out_ << report::practice_offers(state());
    else if (word == "names")
      out_ << report::practice_names(state());
    else if (word == "bought" || word == "b")
      out_ << report::practice_bought(state());
    else if (word == "story")
      out_ << report::practice_story(state());
    else
      return move(line);
    return true;
  }

 private:
  [[nodiscard]] const assess::PracticeAnswer& state() const { return state_of(reply_); }

  bool move(const std::string& line) {
    assess::Request next = request_;
    const std::string so_far = request_.option("moves");
    next.options.erase("moves");
    next.options.emplace("moves", so_far.empty() ? line : so_far + "; " + line);
    auto answered = practice_.run(next);
    if (!answered) {
      for (const Problem& problem : answered.problems())
        out_ << problem.what << (problem.allowed.empty() ? "" : "; allowed: " + problem.allowed)
             << (problem.mend.empty() ? "" : "; " + problem.mend) << "\n";
      return true;
    }
    request_ = std::move(next);
    reply_ = std::move(answered).value();
    if (state().score) {
      out_ << report::practice_reckoning(state());
      return false;
    }
    out_ << report::practice_last_move(state());
    return true;
  }

  const assess::Operation& practice_;
  assess::Request request_;
  assess::Reply reply_;
  std::ostream& out_;
};

}  // namespace

int play_practice(const assess::Operation& practice, assess::Request request, std::istream& in, std::ostream& out, std::ostream& err) {
  auto first = practice.run(request);
  if (!first) {
    err << to_string(first.problems());
    return kBadInput;
  }
  Game game(practice, std::move(request), std::move(first).value(), out);
  game.open();
  std::string line;
  for (;;) {
    out << "\n> " << std::flush;
    if (!std::getline(in, line)) {
      out << "\nThe input ended before a fault was named.\n";
      return kDone;
    }
    if (line.size() > kLongestLine) line.resize(kLongestLine);
    if (!game.take(line)) return kDone;
  }
}

}  // namespace headjoint::cli
