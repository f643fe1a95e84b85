#pragma once

#include <random>

#include "headjoint/traces/relative_compression.h"
#include "headjoint/traces/starter_model.h"

/// Cranking traces with known faults.
namespace headjoint::traces::testing {

inline Area square_mm(double value) { return Area::from_si(value * 1e-6); }

/// A sound four with one cylinder (1 to 4) leaking so much more; 0 for none.
inline CrankedEngine four_with_leak(int cylinder, double extra_mm2) {
  CrankedEngine engine;
  engine.leaks.assign(4, CrankedEngine::usual_leak);
  if (cylinder > 0) engine.leaks[static_cast<std::size_t>(cylinder - 1)] += square_mm(extra_mm2);
  return engine;
}

inline CrankedEngine four_with_bridge(int first, int second, double area_mm2) {
  CrankedEngine engine;
  engine.bridges = {{static_cast<std::size_t>(first - 1), static_cast<std::size_t>(second - 1), square_mm(area_mm2)}};
  return engine;
}

/// One pulse at every firing dead centre of cylinder 1.
inline Signal sync_of(const CrankingTrace& trace) {
  Signal sync;
  sync.rate_Hz = trace.current_A.rate_Hz;
  sync.values.assign(trace.current_A.values.size(), 0);
  for (const double time : trace.first_cylinder_s) sync.values[static_cast<std::size_t>(time * sync.rate_Hz)] = 5;
  return sync;
}

inline void add_noise(Signal& signal, double deviation, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal(0, deviation);
  for (float& value : signal.values) value += static_cast<float>(normal(random));
}

inline CrankingQuestion question_of_four() {
  CrankingQuestion question;
  question.firing_order = {1, 3, 4, 2};
  return question;
}

}  // namespace headjoint::traces::testing
