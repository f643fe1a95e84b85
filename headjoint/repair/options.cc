#include "headjoint/repair/options.h"

#include <algorithm>
#include <array>

#include "headjoint/base/error.h"
#include "headjoint/repair/internal/joint_left.h"
#include "headjoint/repair/internal/joint_renewed.h"
#include "headjoint/repair/internal/outcomes.h"
#include "headjoint/repair/repair_costs.h"

namespace headjoint::repair {
namespace {

using enum ShopFigure;

constexpr std::array<std::string_view, kOptions> kNames = {"retighten",     "stop_leak",       "gasket_only", "gasket_and_head_service",
                                                           "exchange_head", "exchange_engine", "cure_rival",  "drive_on"};
constexpr std::array<std::string_view, kOptions> kWords = {"re-tighten the head bolts",
                                                           "stop-leak as a way home",
                                                           "gasket only",
                                                           "gasket with head service",
                                                           "exchange head",
                                                           "exchange engine",
                                                           "leave the joint, cure the leading rival cause",
                                                           "stop here and drive on"};
constexpr double kLowShare = 0.05;  ///< nine in ten lie between these
constexpr double kHighShare = 0.95;

Span flat(double cost) { return {cost, cost, cost}; }

/// What an option does about the causes outside the joint.
enum class Rivals { kCureAlways, kCureWithJoint, kLeave };

/// What every option is reckoned from.
struct Question {
  const RepairCase& repair_case;
  const ShopPrices& prices;
  const Cured& cured;
  Detail detail;
  Span later_job;  ///< what renewing the joint later is expected to cost; not used by the options that renew it now
};

/// Gathers the cost of one option.
class Reckoning {
 public:
  Reckoning(Option option, const Question& question)
      : case_(question.repair_case),
        prices_(question.prices),
        cured_(question.cured),
        is_whole_(question.detail == Detail::kAll),
        later_job_(question.later_job) {
    result_.option = option;
  }

  void work(const char* what, const Span& cost) {
    certain_ += cost;
    item(what, cost.mean());
  }

  void rivals(Rivals how) {
    double cured_sum = 0;
    double left_sum = 0;
    double brought_right = 0;
    for (std::size_t i = 0; i < case_.rivals.size(); ++i) {
      const Rival& rival = case_.rivals[i];
      if (goes_with(rival)) {
        if (rival.is_background) brought_right += rival.left;
      } else if (is_cured(i, how)) {
        cured_sum += rival.put_right;
        item(rival.text, rival.put_right);
      } else if (!rival.is_background) {
        // A cooling fault that is only driven on with is cured later; what it may do to the engine on the way is counted there.
        left_sum += how == Rivals::kLeave && rival.overheats ? rival.chance * rival.put_right : rival.left;
      }
    }
    certain_ += flat(cured_sum + left_sum - brought_right);
    if (left_sum > 0) item("other causes in question left in", left_sum);
    if (brought_right > 0) item("wear and leaks that it brings right too", -brought_right);
  }

  /// The joint renewed: it may fail again.
  void renewed() {
    const Refailure again = refailure_after(result_.option, case_, prices_);
    const double engine = prices_.share(kAgainEngineLost);
    const double found = result_.option == Option::kGasketAndHeadService ? 1 - prices_.share(kAgainAfterService) : 0.0;
    const Span job = come_back_job(case_, prices_);
    const Span lost = other_engine(prices_) + prices_.cost(kHoursComeBack);
    const Span head = other_head(case_, prices_);
    double head_cost = 0;
    double again_cost = 0;
    for (unsigned state = 0; state < kPartStates; ++state) {
      const double chance = case_.parts[state];
      if (chance == 0) continue;
      const bool has_crack = (state & kHeadCracked) && again.left[2] > 0;
      const double scrapped = has_crack ? found : 0.0;  // the machine shop finds the crack: another head is bought
      const double fails = failure_with(again, state);
      const bool ends_it = (state & kBlockCracked) && again.left[3] > 0;  // the second time the block is looked at
      const double lost_share = ends_it ? 1.0 : engine;
      head_cost += chance * scrapped * head.mean();
      for (const bool is_scrapped : {false, true}) {
        const double share = chance * (is_scrapped ? scrapped : 1 - scrapped);
        if (share == 0) continue;
        const Span now = is_scrapped ? certain_ + head : certain_;
        const Span later = has_crack && !is_scrapped ? job + head : job;
        outcomes_.push_back({now, share * (1 - fails)});
        outcomes_.push_back({now + later, share * fails * (1 - lost_share)});
        outcomes_.push_back({now + lost, share * fails * lost_share});
        again_cost += share * fails * ((1 - lost_share) * later.mean() + lost_share * lost.mean());
        result_.engine_lost += share * fails * lost_share;
      }
    }
    result_.second_failure = failure_over(again, case_.parts);
    if (is_whole_) result_.drivers = drivers_of(again, case_.parts);
    if (head_cost > 0) item("another head, should the machine shop find a crack", head_cost);
    item("second failure", again_cost);
  }

  /// The joint left as it is.
  /// @param holds  chance that it holds in a state after all
  template <class Holds>
  void left(const RunOn& run, const Span& on_come_back, Holds holds) {
    double risk = 0;
    for (unsigned state = 0; state < kLeakStates; ++state) {
      const double chance = case_.leaks[state];
      if (chance == 0) continue;
      const double held = holds(state);
      outcomes_.push_back({certain_, chance * held});
      for (const Outcome& outcome : left_in_outcomes(state, run, later_job_, case_, prices_)) {
        const bool is_back = outcome.cost.high > 0;
        outcomes_.push_back({certain_ + outcome.cost + (is_back ? on_come_back : Span{}), chance * (1 - held) * outcome.chance});
        risk += outcomes_.back().chance * (outcomes_.back().cost.mean() - certain_.mean());
      }
      if (state & kAnyLeak) result_.second_failure += chance * (1 - held);
      result_.engine_lost += chance * (1 - held) * engine_lost_in(state, run, prices_);
    }
    item("the joint leaks: the job later, or the engine", risk);
  }

  void forbid(std::string why) { result_.forbidden = std::move(why); }
  void is_no_repair() { result_.is_a_repair = false; }

  OptionCost take() {
    result_.expected_cost = mean_of(outcomes_);
    if (is_whole_) {
      result_.low = quantile_of(outcomes_, kLowShare);
      result_.high = quantile_of(outcomes_, kHighShare);
    }
    return std::move(result_);
  }

 private:
  void item(std::string_view what, double cost) {
    if (is_whole_) result_.items.push_back({std::string(what), cost});
  }
  [[nodiscard]] bool goes_with(const Rival& rival) const {
    return (result_.option == Option::kExchangeEngine && rival.goes_with_engine) ||
           (result_.option == Option::kExchangeHead && rival.goes_with_head);
  }
  [[nodiscard]] bool is_cured(std::size_t i, Rivals how) const {
    if (how == Rivals::kLeave) return false;
    if (how == Rivals::kCureWithJoint) return cured_.with_joint[i];
    const bool is_leading = result_.option == Option::kCureRival && i == cured_.leading;
    return cured_.always[i] || is_leading;
  }

  const RepairCase& case_;
  const ShopPrices& prices_;
  const Cured& cured_;
  bool is_whole_;
  Span later_job_;
  OptionCost result_;
  Span certain_;  ///< paid whatever comes
  Outcomes outcomes_;
};

constexpr const char* kHeadIsOff = "the head is off: it needs a new gasket in any case";
constexpr const char* kHeadOffAndOn = "head off and on again";
constexpr const char* kHeadOn = "head on again: taking it off is done";
constexpr const char* kGasketAndFluids = "gasket set, bolts where due, coolant and oil";

OptionCost renewing(Option option, const Question& question) {
  const RepairCase& repair_case = question.repair_case;
  const ShopPrices& prices = question.prices;
  Reckoning sum(option, question);
  if (option == Option::kExchangeEngine) {
    sum.work("exchange engine with the work", other_engine(prices));
    sum.work("coolant and oil", prices.cost(kPriceFluids));
  } else {
    sum.work(repair_case.head_off ? kHeadOn : kHeadOffAndOn, work_on_heads(repair_case, prices, repair_case.head_off));
    sum.work(repair_case.bolts_due ? kGasketAndFluids : "gasket set, coolant and oil", joint_parts(repair_case, prices));
  }
  if (option == Option::kGasketOnly && !repair_case.sealing_chance) sum.forbid(repair_case.no_gasket_only);
  if (option == Option::kGasketAndHeadService) {
    sum.work("head cleaned, tested and skimmed", head_service(repair_case, prices));
    sum.forbid(repair_case.no_head_service);
  }
  if (option == Option::kExchangeHead) sum.work("exchange head, parts changed over", other_head(repair_case, prices));
  sum.rivals(Rivals::kCureWithJoint);
  sum.renewed();
  return sum.take();
}

OptionCost retightening(const Question& question) {
  const RepairCase& repair_case = question.repair_case;
  const ShopPrices& prices = question.prices;
  Reckoning sum(Option::kRetighten, question);
  sum.work("bolts re-tightened to the maker's sheet", prices.cost(kHoursRetighten));
  sum.rivals(Rivals::kCureAlways);
  sum.left({prices.share(kUnnoticed), false, false}, {}, [&](unsigned state) { return retightening_holds(state, prices); });
  sum.forbid(repair_case.head_off ? kHeadIsOff : repair_case.no_retightening);
  return sum.take();
}

/// Stop-leak must come out again before the joint is renewed, and it may block the radiator.
OptionCost stop_leak(const Question& question) {
  const RepairCase& repair_case = question.repair_case;
  const ShopPrices& prices = question.prices;
  Reckoning sum(Option::kStopLeak, question);
  sum.work("stop-leak poured in and run round", prices.cost(kPriceStopLeak) + prices.cost(kHoursStopLeak));
  sum.work("radiator or heater blocked by it", prices.share(kStopLeakBlocks) * (2.0 * prices.cost(kHoursFlush)));
  sum.rivals(Rivals::kLeave);
  sum.left({repair_case.distance_km, true, true}, prices.cost(kHoursFlush), [](unsigned) { return 0.0; });
  sum.is_no_repair();
  if (repair_case.head_off) sum.forbid(kHeadIsOff);
  if (!repair_case.liquid_cooled) sum.forbid("the engine is cooled by air");
  return sum.take();
}

OptionCost driving_on(const Question& question) {
  const RepairCase& repair_case = question.repair_case;
  Reckoning sum(Option::kDriveOn, question);
  sum.rivals(Rivals::kLeave);
  sum.left({repair_case.distance_km, false, true}, {}, [](unsigned) { return 0.0; });
  if (repair_case.head_off) sum.forbid(kHeadIsOff);
  return sum.take();
}

OptionCost curing_the_rival(const Question& question) {
  const RepairCase& repair_case = question.repair_case;
  const ShopPrices& prices = question.prices;
  Reckoning sum(Option::kCureRival, question);
  sum.rivals(Rivals::kCureAlways);
  sum.left({prices.share(kUnnoticed), false, false}, {}, [](unsigned) { return 0.0; });
  if (repair_case.head_off)
    sum.forbid(kHeadIsOff);
  else if (question.cured.leading >= repair_case.rivals.size())
    sum.forbid("no cause outside the joint is in question");
  return sum.take();
}

constexpr Option kRenewing[] = {Option::kGasketOnly, Option::kGasketAndHeadService, Option::kExchangeHead, Option::kExchangeEngine};

/// The cheapest way to renew the joint, causes outside it left aside.
OptionCost cheapest_renewing(const RepairCase& repair_case, const ShopPrices& prices) {
  RepairCase joint_alone = repair_case;
  joint_alone.rivals.clear();
  const Cured none;
  std::vector<OptionCost> options;
  for (const Option option : kRenewing) options.push_back(renewing(option, {joint_alone, prices, none, Detail::kExpectedCost, {}}));
  return options[choice_of(options)];
}

/// That job done later, with its head on, and what coming back costs beside.
Span later_job(const RepairCase& repair_case, const ShopPrices& prices) {
  RepairCase later = repair_case;
  later.head_off = false;
  return flat(cheapest_renewing(later, prices).expected_cost) + prices.cost(kHoursComeBack);
}

}  // namespace

bool renews_the_joint(Option option) { return std::find(std::begin(kRenewing), std::end(kRenewing), option) != std::end(kRenewing); }

std::string_view name_of(Option option) { return kNames[static_cast<std::size_t>(option)]; }
std::string_view words_of(Option option) { return kWords[static_cast<std::size_t>(option)]; }

Cured worth_curing(const std::vector<Rival>& rivals, const ShopPrices& prices, double coming_back) {
  Cured cured;
  const double again = prices.share(kAgainCooling) * coming_back;
  double best = 0;
  for (std::size_t i = 0; i < rivals.size(); ++i) {
    const Rival& rival = rivals[i];
    cured.always.push_back(rival.left > rival.put_right);
    cured.with_joint.push_back(rival.left + (rival.overheats ? rival.chance * again : 0.0) > rival.put_right);
    // Kadane and Simon: most chance for its cost first.
    const double rank = rival.chance / std::max(rival.put_right, 1e-9) + (cured.always.back() ? 1e6 : 0.0);
    if (rank > best) best = rank, cured.leading = i;
  }
  return cured;
}

std::vector<OptionCost> option_costs(const RepairCase& repair_case, const ShopPrices& prices, const Cured& cured, Detail detail) {
  require(repair_case.leaks.size() == kLeakStates && repair_case.parts.size() == kPartStates, "a chance for every state");
  require(cured.always.size() == repair_case.rivals.size() && cured.with_joint.size() == repair_case.rivals.size(),
          "a mark for each rival");
  const Question question{repair_case, prices, cured, detail, later_job(repair_case, prices)};
  return {retightening(question),
          stop_leak(question),
          renewing(Option::kGasketOnly, question),
          renewing(Option::kGasketAndHeadService, question),
          renewing(Option::kExchangeHead, question),
          renewing(Option::kExchangeEngine, question),
          curing_the_rival(question),
          driving_on(question)};
}

void leave_background_out(std::vector<Rival>& rivals, const Cured& cured) {
  for (std::size_t i = 0; i < rivals.size(); ++i) rivals[i].is_background = !cured.always[i] && !cured.with_joint[i] && i != cured.leading;
}

std::size_t choice_of(const std::vector<OptionCost>& options) {
  std::size_t best = options.size();
  for (std::size_t i = 0; i < options.size(); ++i)
    if (options[i].may_be_chosen() && (best == options.size() || options[i].expected_cost < options[best].expected_cost)) best = i;
  return best;
}

double chance_of_leak(const std::vector<double>& leaks) {
  double sum = 0;
  for (unsigned state = 0; state < leaks.size(); ++state)
    if (state & kAnyLeak) sum += leaks[state];
  return sum;
}

std::vector<double> with_chance_of_leak(std::vector<double> leaks, double chance) {
  const double now = chance_of_leak(leaks);
  for (unsigned state = 0; state < leaks.size(); ++state) {
    const double of = (state & kAnyLeak) ? now : 1 - now;
    const double wanted = (state & kAnyLeak) ? chance : 1 - chance;
    leaks[state] *= of > 0 ? wanted / of : 0.0;
  }
  return leaks;
}

double cost_left_in(unsigned leaks, const RepairCase& repair_case, const ShopPrices& prices) {
  return mean_of(left_in_outcomes(leaks, {prices.share(kUnnoticed), false, false}, later_job(repair_case, prices), repair_case, prices));
}

double cost_of_renewing(const RepairCase& repair_case, const ShopPrices& prices) {
  return cheapest_renewing(repair_case, prices).expected_cost;
}

double cost_of_coming_back(const RepairCase& repair_case, const ShopPrices& prices) { return come_back_job(repair_case, prices).mean(); }

}  // namespace headjoint::repair
