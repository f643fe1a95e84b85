// Published discrete networks: posteriors that others printed, or that follow from the printed tables by enumerating every combination.
// The networks are given in the JSON files beside this one; each test names where the tables come from.

#include "headjoint/diagnosis/network.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <string>

#include "headjoint/base/file.h"
#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kEnumerated = 1e-9;  // the figures are typed with ten digits
constexpr double kPriors = 1e-12;     // products of a few printed figures, exact in decimals
constexpr double kPrinted = 5e-4;     // books print three or four digits
constexpr double kConflict = 1e-6;    // typed with six decimals
constexpr double kTwelveDigits = 1e-11;

Network network_of(const std::string& name) {
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/tests/published/" + name + ".json";
  const auto document = read_json(read_file(path), name + ".json");
  EXPECT_TRUE(document) << to_string(document.problems());
  auto network = read_network(*document);
  EXPECT_TRUE(network) << to_string(network.problems());
  return std::move(network).value();
}

/// One published network and the questions put to it.
class Published {
 public:
  explicit Published(const std::string& name) : network_(network_of(name)) {}

  /// P(node in its first state | evidence "A=yes,D=no").
  double posterior(const std::string& evidence, const std::string& node) {
    return run(evidence).posteriors.at(static_cast<std::size_t>(network_.find(node))).at(0);
  }
  double log_evidence(const std::string& evidence) { return run(evidence).log_evidence; }
  double chance(const std::string& evidence) { return std::exp(log_evidence(evidence)); }

  NetworkPosterior run(const std::string& evidence) {
    const auto read = read_evidence(network_, evidence);
    EXPECT_TRUE(read) << to_string(read.problems());
    return infer(network_, *read);
  }

  void expect(const std::string& evidence, const std::map<std::string, double>& posteriors, double tolerance = kEnumerated) {
    const NetworkPosterior result = run(evidence);
    ASSERT_EQ(result.status, Status::kDone);
    for (const auto& [node, p] : posteriors)
      EXPECT_NEAR(result.posteriors.at(static_cast<std::size_t>(network_.find(node))).at(0), p, tolerance) << node << " | " << evidence;
  }

 private:
  Network network_;
};

// Lauritzen & Spiegelhalter, J. R. Statist. Soc. B 50 (1988) 157-224, "Asia"; the rows by enumeration of the 256 combinations, the row
// A, D also by two independent programs.
TEST(Asia, PriorsFollowFromTheTables) {
  Published("asia").expect("", {{"T", .0104}, {"L", .055}, {"B", .45}, {"E", .064828}, {"X", .11029004}, {"D", .4359706}, {"S", .5}},
                           kPriors);
}

TEST(Asia, EveryRowOfTheEvidenceTable) {
  Published asia("asia");
  asia.expect("A=yes", {{"T", .05}, {"L", .055}, {"E", .10225}, {"X", .1450925}, {"D", .4501375}});
  asia.expect("S=yes", {{"L", .1}, {"B", .6}, {"E", .10936}, {"X", .1517048}, {"D", .552808}});
  asia.expect("D=yes",
              {{"S", .6339968796}, {"T", .0188453075}, {"L", .1027592228}, {"B", .8339673363}, {"E", .1205358343}, {"X", .1620983259}});
  asia.expect("X=yes",
              {{"S", .6877538534}, {"T", .0924108832}, {"L", .4887114013}, {"B", .5063261560}, {"E", .5760396859}, {"D", .6407659694}});
  asia.expect("A=yes,D=yes",
              {{"S", .6259198578}, {"T", .0877509650}, {"L", .0995251451}, {"B", .8114020716}, {"E", .1822998528}, {"X", .2195388631}});
  asia.expect("A=yes,D=yes,S=yes", {{"T", .0727595386}, {"L", .1455190772}, {"B", .8672582076}, {"E", .2110026619}, {"X", .2462324756}});
  asia.expect("A=yes,D=yes,X=yes", {{"S", .7020251172}, {"T", .3917117200}, {"L", .4442705078}, {"B", .6288217760}, {"E", .8137687024}});
  asia.expect("A=yes,D=yes,X=no", {{"S", .6045119217}, {"T", .0022486953}, {"L", .0025504190}, {"B", .8627607730}, {"E", .0046715933}});
  asia.expect("X=yes,D=yes", {{"S", .7856103861}, {"T", .1139333254}, {"L", .6212527967}, {"B", .6818685385}, {"E", .7287250930}});
}

TEST(Asia, ChanceOfTheEvidence) {
  Published asia("asia");
  EXPECT_NEAR(asia.chance("A=yes"), .01, kPriors);
  EXPECT_NEAR(asia.chance("A=yes,D=yes"), .004501375, kPriors);
  EXPECT_NEAR(asia.chance("A=yes,D=yes,S=yes"), .0028175, kPriors);
  EXPECT_NEAR(asia.chance("A=yes,D=yes,X=yes"), .00098822675, kPriors);
  EXPECT_NEAR(asia.chance("A=yes,D=yes,X=no"), .00351314825, kPriors);
  EXPECT_NEAR(asia.chance("X=yes,D=yes"), .0706701044, kEnumerated);
  EXPECT_NEAR(asia.posterior("T=no", "X"), .10115, kEnumerated);
}

// Conflict measure of Jensen, Chamond, Nordby & Nielsen 1991 (formula from memory), values by enumeration.
TEST(Asia, ConflictBetweenFindings) {
  Published asia("asia");
  const auto conflict = [&](const std::vector<std::string>& pieces) {
    double log_apart = 0;
    std::string all;
    for (const std::string& piece : pieces) {
      log_apart += asia.log_evidence(piece);
      all += (all.empty() ? "" : ",") + piece;
    }
    return (log_apart - asia.log_evidence(all)) / std::log(2.0);
  };
  EXPECT_NEAR(conflict({"A=yes", "D=yes"}), -.046135, kConflict);
  EXPECT_NEAR(conflict({"X=yes", "D=yes"}), -.555567, kConflict);
  EXPECT_NEAR(conflict({"X=yes", "D=no"}), .650846, kConflict);
  EXPECT_NEAR(conflict({"S=no", "X=yes", "D=no", "A=yes"}), .421654, kConflict);
}

// One-way sensitivity: the posterior is a ratio of two straight lines in one number (Castillo, Gutierrez & Hadi 1997), values by
// enumeration.
TEST(Asia, OnePosteriorAgainstOneNumberOfTheTables) {
  for (const auto& [x, expected] : std::map<double, double>{{0, .0487646294}, {.35, .0690434165}, {.7, .0877509650}, {1, .1026694045}}) {
    Network network = network_of("asia");
    NetworkNode& dyspnoea = network.nodes[static_cast<std::size_t>(network.find("D"))];
    std::size_t changed = 0;
    for (std::size_t i = 0; i < dyspnoea.table.size(); i += 2)
      if (std::abs(dyspnoea.table[i] - .7) < kPriors) {  // P(D | E, not B)
        dyspnoea.table[i] = x;
        dyspnoea.table[i + 1] = 1 - x;
        ++changed;
      }
    ASSERT_EQ(changed, 1U);
    const auto evidence = read_evidence(network, "A=yes,D=yes");
    const NetworkPosterior result = infer(network, *evidence);
    EXPECT_NEAR(result.posteriors[static_cast<std::size_t>(network.find("T"))][0], expected, kEnumerated) << x;
    EXPECT_NEAR(expected, (.000275 * x + .0002025) / (.00049825 * x + .0041526), kEnumerated);
  }
}

// Most relevant explanation, Yuan, Lim & Lu 2011 (formula from memory): the factor P(e | x) / P(e | not x) over all assignments to up to
// three of S, T, L, B; values by enumeration.
TEST(Asia, TheBestExplanationIsTuberculosisWithBronchitis) {
  Published asia("asia");
  const double all = asia.chance("A=yes,D=yes");
  std::map<double, std::string> by_factor;
  for (int code = 1; code < 81; ++code) {
    std::string assignment;
    int named = 0;
    for (int left = code, v = 0; v < 4; ++v, left /= 3) {
      if (left % 3 == 0) continue;
      ++named;
      assignment += std::string(assignment.empty() ? "" : ",") + "STLB"[v] + (left % 3 == 1 ? "=yes" : "=no");
    }
    if (named > 3) continue;
    const double before = asia.chance(assignment);
    const double with = asia.chance("A=yes,D=yes," + assignment);
    by_factor[(with / before) / ((all - with) / (1 - before))] = assignment;
  }
  EXPECT_NEAR(by_factor.rbegin()->first, 10.018140, 1e-5);
  EXPECT_EQ(by_factor.rbegin()->second, "T=yes,B=yes");
  EXPECT_NEAR(asia.chance("A=yes,D=yes,T=yes") / .0104 / ((all - asia.chance("A=yes,D=yes,T=yes")) / (1 - .0104)), 9.153029, 1e-5);
}

TEST(Asia, ImpossibleEvidenceIsSaidAndNamed) {
  const NetworkPosterior result = Published("asia").run("A=yes,E=no,T=yes");
  EXPECT_EQ(result.status, Status::kImpossible);
  EXPECT_TRUE(result.posteriors.empty());
  EXPECT_EQ(result.conflicting, (std::vector<std::size_t>{1, 2}));
}

// Burglar alarm: Pearl 1988; Russell & Norvig, Artificial Intelligence, ch. 14. Printed .284 and .000628.
TEST(Alarm, BothNeighboursCall) {
  Published alarm("alarm");
  alarm.expect("J=yes,M=yes", {{"B", .2841718354}, {"E", .1760668384}, {"A", .7606920389}});
  alarm.expect("J=yes,M=yes", {{"B", .284}}, kPrinted);
  EXPECT_NEAR(alarm.chance("J=yes,M=yes"), .002084100239, kPriors);
  EXPECT_NEAR(alarm.chance("J=yes,M=yes,A=yes,B=no,E=no"), .00062811126, kPriors);
  alarm.expect("", {{"A", .002516442}, {"J", .0521389757}, {"M", .0117363450}});
}

TEST(Alarm, AnEarthquakeExplainsTheAlarmAway) {
  Published alarm("alarm");
  alarm.expect("J=yes", {{"B", .0162837299}});
  alarm.expect("M=yes", {{"B", .0561174540}});
  alarm.expect("A=yes", {{"B", .3735512283}});
  alarm.expect("A=yes,E=yes", {{"B", .0032684236}});
}

// The same tables with rarer causes made commoner: Korb & Nicholson, Bayesian Artificial Intelligence.
TEST(Earthquake, Variant) {
  Published earthquake("earthquake");
  earthquake.expect("", {{"A", .0161142}});
  earthquake.expect("J=yes,M=yes", {{"B", .5565220622}});
  earthquake.expect("A=yes", {{"B", .5834605503}});
  earthquake.expect("A=yes,E=yes", {{"B", .0320296696}});
}

// Sprinkler: Russell & Norvig; Murphy's tutorial prints .6471, .4298, .7079, .1945.
TEST(Sprinkler, WetGrass) {
  Published sprinkler("sprinkler");
  sprinkler.expect("W=yes", {{"S", .4297635605}, {"R", .7079276773}, {"C", .5757997218}});
  sprinkler.expect("W=yes", {{"S", .4298}, {"R", .7079}}, kPrinted);
  sprinkler.expect("W=yes,R=yes", {{"S", .1944990177}});
  sprinkler.expect("W=yes,S=yes", {{"R", .3203883495}});
  EXPECT_NEAR(sprinkler.chance("W=yes"), .6471, kPriors);
}

// Korb & Nicholson, Bayesian Artificial Intelligence, table 2.2; the book prints three decimals.
TEST(Cancer, TableTwoTwo) {
  Published cancer("cancer");
  cancer.expect("", {{"P", .1}, {"S", .3}, {"C", .01163}, {"X", .208141}, {"D", .3040705}}, kPriors);
  cancer.expect("D=yes", {{"P", .1019993719}, {"S", .3070340595}, {"C", .0248610109}, {"X", .2174027076}});
  cancer.expect("S=yes", {{"P", .1}, {"C", .032}, {"X", .2224}, {"D", .3112}});
  cancer.expect("C=yes", {{"P", .2493551161}, {"S", .8254514187}, {"X", .9}, {"D", .65}});
  cancer.expect("C=yes,S=yes", {{"P", .15625}, {"X", .9}, {"D", .65}});
  cancer.expect("D=yes,S=yes", {{"P", .1020244216}, {"C", .0668380463}, {"X", .2467866324}});
  cancer.expect("D=yes", {{"P", .102}, {"S", .307}, {"C", .025}, {"X", .217}}, kPrinted);
  cancer.expect("C=yes", {{"P", .249}, {"S", .825}}, kPrinted);
}

// Closed form: prior .3, reading 14 under N(10, 2) or N(16, 3): likelihood ratio 3.9444623938 with the 1/sigma kept.
TEST(Reading, TwoGaussiansWithUnequalSpread) {
  const auto density = [](double r, double mean, double sigma) { return std::exp(-(r - mean) * (r - mean) / (2 * sigma * sigma)) / sigma; };
  const Network network{{{"fault", {"no", "yes"}, {}, {.7, .3}}}};
  const NetworkPosterior result = infer(network, {{0, {density(14, 10, 2), density(14, 16, 3)}}});
  EXPECT_NEAR(density(14, 16, 3) / density(14, 10, 2), 3.9444623938, kEnumerated);
  EXPECT_NEAR(result.posteriors[0][1], .6283196468, kEnumerated);
}

/// Rows of a pattern with engine-wide roots, and findings that each of them may bring about.
InstanceNetwork two_level(const std::vector<double>& prior, const std::vector<double>& leak,
                          const std::vector<std::vector<double>>& strength) {
  Pattern pattern;
  for (std::size_t i = 0; i < prior.size(); ++i)
    pattern.causes.push_back({"d" + std::to_string(i), "d", Layer::kRoot, "engine", prior[i], 0, 0, "", "test", ""});
  for (std::size_t j = 0; j < leak.size(); ++j) {
    Finding finding;
    finding.name = "f" + std::to_string(j);
    finding.scope = "engine";
    finding.states = {"absent", "seen"};
    finding.false_positive = {leak[j]};
    pattern.findings.push_back(finding);
  }
  for (std::size_t i = 0; i < prior.size(); ++i)
    for (std::size_t j = 0; j < leak.size(); ++j)
      if (strength[i][j] > 0) pattern.links.push_back({"d" + std::to_string(i), "f" + std::to_string(j), {strength[i][j]}, "test", ""});
  return build(pattern, {}, {});
}

Diagnosis diagnosed(const InstanceNetwork& network, const std::map<int, bool>& seen) {
  std::vector<Observation> observations;
  for (const auto& [finding, yes] : seen)
    observations.push_back({"f" + std::to_string(finding), "", seen_state(2, yes ? 1 : 0), "", false});
  return diagnose(network, observations);
}

// Noisy-OR table of the fever example, Russell & Norvig ch. 14: P(no fever) for cold, flu, malaria absent or present. The causes are
// made known by findings that never err.
TEST(Fever, EveryRowOfTheNoisyOrTable) {
  const InstanceNetwork network = two_level({.2, .05, .01}, {0, 0, 0, 0}, {{1, 0, 0, .4}, {0, 1, 0, .8}, {0, 0, 1, .9}});
  const double no_fever[8] = {1.0, .1, .2, .02, .6, .06, .12, .012};
  for (int row = 0; row < 8; ++row) {
    const std::map<int, bool> causes{{0, (row & 4) != 0}, {1, (row & 2) != 0}, {2, (row & 1) != 0}};
    std::map<int, bool> with_fever = causes;
    with_fever[3] = false;
    EXPECT_NEAR(std::exp(diagnosed(network, with_fever).log_evidence - diagnosed(network, causes).log_evidence), no_fever[row], kPriors);
  }
}

// Same table with priors .2, .05, .01 of our own; values by enumeration.
TEST(Fever, PosteriorOfTheCauses) {
  const auto expect = [](double leak, const std::map<int, bool>& seen, std::vector<double> posterior) {
    const Diagnosis result = diagnosed(two_level({.2, .05, .01}, {leak, 0}, {{.4, 0}, {.8, 1}, {.9, 0}}), seen);
    ASSERT_EQ(result.status, Status::kDone);
    for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(result.causes[i].posterior, posterior[i], 1e-10);
  };
  expect(0, {{0, true}}, {.68807715986, .327720988098, .073081264108});
  expect(0, {{0, false}}, {.130434782609, .010416666667, .001009081736});
  expect(.05, {{0, true}}, {.543256905647, .245316754906, .054364049996});
  expect(0, {{0, true}, {1, true}}, {.215513614527, 1.0, .012005048578});
}

// Eight faults, twelve findings, drawn once at random; exact values by enumeration, confirmed by a binary decision diagram (6 digits) and
// by Gibbs sampling (3 digits) in independent programs.
struct EightByTwelve {
  std::vector<double> prior{.06, .08, .16, .14, .09, .08, .13, .05};
  std::vector<double> leak{.01, .02, .01, .05, .01, .02, .03, .01, .02, .05, .01, .02};
  std::vector<std::vector<double>> strength{{0, .4, .8, .8, 0, 0, .6, 0, .4, .7, .6, .4}, {0, 0, .4, 0, 0, .4, .3, .5, .3, .7, .6, 0},
                                            {0, .4, .3, 0, 0, .4, .4, 0, .5, .3, .3, .6}, {0, .7, 0, 0, 0, 0, 0, .4, 0, 0, 0, 0},
                                            {.4, 0, 0, 0, .6, 0, 0, 0, 0, .6, 0, .3},     {0, 0, .3, 0, .9, .4, .2, 0, 0, 0, 0, .2},
                                            {0, .7, 0, 0, 0, .8, 0, .5, 0, 0, 0, 0},      {.9, 0, 0, .6, .9, 0, 0, 0, .5, 0, 0, .3}};
  std::map<int, bool> seen{{0, true}, {1, true}, {2, false}, {3, true}, {4, false}, {6, true}, {8, false}, {9, true}, {10, false}};
  double chance = 2.20519603652504e-05;
  std::vector<double> posterior{.511668307837, .072823496428, .381025596346, .268589823001,
                                .576973007406, .010750477956, .249863062813, .229979823821};
};

TEST(EightByTwelveNetwork, AsNoisyOrPattern) {
  const EightByTwelve given;
  const Diagnosis result = diagnosed(two_level(given.prior, given.leak, given.strength), given.seen);
  ASSERT_EQ(result.status, Status::kDone);
  EXPECT_NEAR(std::exp(result.log_evidence) / given.chance, 1.0, 1e-10);
  for (std::size_t i = 0; i < 8; ++i) EXPECT_NEAR(result.causes[i].posterior, given.posterior[i], kTwelveDigits);
}

// Inclusion and exclusion over the positive findings, Heckerman 1989 (formula from memory): a third way to the same numbers.
TEST(EightByTwelveNetwork, ByInclusionAndExclusion) {
  const EightByTwelve given;
  std::vector<std::size_t> positive;
  for (const auto& [finding, seen] : given.seen)
    if (seen) positive.push_back(static_cast<std::size_t>(finding));
  double all = 0;
  std::vector<double> with(8, 0.0);
  for (std::size_t subset = 0; subset < (std::size_t{1} << positive.size()); ++subset) {
    std::vector<std::size_t> absent;
    for (const auto& [finding, seen] : given.seen)
      if (!seen) absent.push_back(static_cast<std::size_t>(finding));
    double sign = 1;
    for (std::size_t p = 0; p < positive.size(); ++p)
      if ((subset >> p) % 2 == 1) {
        absent.push_back(positive[p]);
        sign = -sign;
      }
    for (std::size_t j : absent) sign *= 1 - given.leak[j];
    std::vector<double> there;
    std::vector<double> either;
    for (std::size_t i = 0; i < 8; ++i) {
      double p = given.prior[i];
      for (std::size_t j : absent) p *= 1 - given.strength[i][j];
      there.push_back(p);
      either.push_back(1 - given.prior[i] + p);
    }
    double product = sign;
    for (double e : either) product *= e;
    all += product;
    for (std::size_t i = 0; i < 8; ++i) with[i] += product / either[i] * there[i];
  }
  const Diagnosis result = diagnosed(two_level(given.prior, given.leak, given.strength), given.seen);
  EXPECT_NEAR(std::exp(result.log_evidence) / all, 1, 1e-10);
  for (std::size_t i = 0; i < 8; ++i) EXPECT_NEAR(result.causes[i].posterior, with[i] / all, 1e-10);
}

TEST(EightByTwelveNetwork, AsExplicitTables) {
  const EightByTwelve given;
  Network network;
  std::vector<NodeEvidence> evidence;
  for (std::size_t i = 0; i < 8; ++i)
    network.nodes.push_back({"d" + std::to_string(i), {"no", "yes"}, {}, {1 - given.prior[i], given.prior[i]}});
  for (std::size_t j = 0; j < 12; ++j) {
    NetworkNode node{"f" + std::to_string(j), {"no", "yes"}, {}, {}};
    std::vector<double> none{1 - given.leak[j]};
    for (std::size_t i = 0; i < 8; ++i) {
      if (given.strength[i][j] == 0) continue;
      node.parents.push_back(i);
      std::vector<double> wider;
      for (double value : none) wider.insert(wider.end(), {value, value * (1 - given.strength[i][j])});
      none = wider;
    }
    for (double value : none) node.table.insert(node.table.end(), {value, 1 - value});
    network.nodes.push_back(node);
    if (const auto seen = given.seen.find(static_cast<int>(j)); seen != given.seen.end())
      evidence.push_back({8 + j, seen_state(2, seen->second ? 1 : 0)});
  }
  const NetworkPosterior result = infer(network, evidence);
  ASSERT_EQ(result.status, Status::kDone);
  EXPECT_NEAR(std::exp(result.log_evidence) / given.chance, 1.0, 1e-10);
  for (std::size_t i = 0; i < 8; ++i) EXPECT_NEAR(result.posteriors[i][1], given.posterior[i], kTwelveDigits);
}

// Net strength from an asked one: Diez 1993 (formula from memory), by hand.
TEST(Elicitation, AskedStrengthContainsTheLeak) {
  EXPECT_NEAR(net_strength(.7, .1), .6666666667, kEnumerated);
  EXPECT_THROW((void)net_strength(.05, .1), ContractError);
}

}  // namespace
}  // namespace headjoint::diagnosis
