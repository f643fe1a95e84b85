#pragma once

#include <string>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis::testing {

/// A small pattern with every kind of row: for tests and benchmarks only, its figures mean nothing.
inline PatternTexts sample_texts() {
  return {
      {R"(name,text,layer,scope,chance,put_right_minutes,left_minutes,decision,basis,why
overheated,an earlier overheat,root,engine,0.2,0,0,,test,
face_out,face of head {place} out,root,head,0.08,600,100,open_joint,test,
low_clamp,low clamp on head {place},root,head,0.06,0,0,,test,
detonation,detonation,root,engine,0.04,0,0,,test,
weak_water,seal to water weak on head {place},weakness,head,0.02,0,0,,test,
weak_bridge,seal between cylinders weak on head {place},weakness,head,0.02,0,0,,test,
weak_edge,seal to outside weak on head {place},weakness,head,0.02,0,0,,test,
gas_water,gas from cylinder {place} into the water,path,cylinder,0.01,600,1500,open_joint,test,
gas_next,gas between cylinders {place},path,bridge,0.005,600,1800,open_joint,test,
gas_out,gas from cylinder {place} to the outside,path,cylinder,0.003,600,900,open_joint,test,
water_cylinder,water into cylinder {place},path,cylinder,0.003,600,1800,open_joint,test,
water_out,water to the outside,path,engine,0.02,600,300,open_joint,test,
any_water,gas into the water anywhere,any,engine,0,0,0,,test,
any_next,gas between any cylinders,any,engine,0,0,0,,test,
any_out,gas to the outside anywhere,any,engine,0,0,0,,test,
any_wet,water into any cylinder,any,engine,0,0,0,,test,
joint_failed,the joint failed,any,engine,0,0,0,,test,
thermostat,a sticking thermostat,rival,engine,0.08,60,300,thermostat,test,
cap,a weak cap,rival,engine,0.07,10,150,cap,test,
worn,an engine worn all over,rival,engine,0.05,1800,600,overhaul,test,
valve,a leaking valve in cylinder {place},rival,cylinder,0.05,700,1000,valves,test,
ring,leaking rings in cylinder {place},rival,cylinder,0.05,1800,1500,overhaul,test,
)",
       "causes.csv"},
      {R"(name,text,question,kind,scope,states,false_positive,minutes,price_minutes,set_up,needs,cautions,measures,confusion,cannot_see,basis
hot,runs hot,Hot?,symptom,engine,absent|seen,0.03,0,0,,,,,,,test
loss,water goes,Loss?,symptom,engine,absent|seen,0.03,0,0,,,,,,,test
told,an overheat told of,Overheated?,history,engine,absent|seen,0.02,0,0,,,,,,,test
ticking,ticking,Ticking?,symptom,engine,absent|seen,0.01,0,0,,,,,,,test
smoke,blue smoke,Smoke?,symptom,engine,absent|seen,0.01,0,0,,,,,,,test
power,power lost,Power?,symptom,engine,absent|seen,0.03,0,0,,,,,,,test
bubbles,bubbles in the tank,Bubbles?,test,engine,absent|seen,0.01,10,0,warm,,hot,,,,test
colour,the colour test turned,Colour?,test,engine,none|partial|full,0.02|0.005,15,5,warm,,hot,,,,test
cap_test,the cap opens low,Cap?,test,engine,absent|seen,0.01,5,0,,,,,,,test
plug,plug of cylinder {place} washed,Washed?,test,cylinder,absent|seen,0.01,3,0,plugs,,,,,,test
leak,more gas leaks from cylinder {place},,hidden,cylinder,none|small|large,0.03|0.005,0,0,,,,,,,test
compression,compression of cylinder {place},Low?,reading,cylinder,level|low|very low,,5,0,plugs,,,leak,0.95|0.04|0.01;0.8|0.18|0.02;0.03|0.22|0.75,,test
leak_down,leak-down of cylinder {place},How much?,reading,cylinder,small|middling|large,,8,0,plugs,,,leak,0.94|0.05|0.01;0.12|0.78|0.1;0.01|0.11|0.88,,test
rough,cylinder {place} rough,Rough?,symptom,cylinder,absent|seen,0.02,0,0,,,,,,,test
air_water,air of cylinder {place} in the water,Air?,test,cylinder,absent|seen,0.005,3,0,plugs,,,,,,test
air_next,air of {place} at the neighbour,Air?,test,bridge,absent|seen,0.005,2,0,plugs,,,,,,test
air_valve,air of cylinder {place} at a valve,Air?,test,cylinder,absent|seen,0.02,2,0,plugs,,,,,,test
face,face of head {place} out,Out?,test,head,absent|seen,0.02,20,0,,head_off,,,,,test
)",
       "findings.csv"},
      {"name,text,minutes,cautions,basis\nwarm,warm it up,15,hot,test\nplugs,plugs out,25,fuel,test\n", "setups.csv"},
      {R"(cause,effect,strength,meant,basis,why
thermostat,overheated,0.3,net,test,
overheated,face_out,0.3,net,test,
overheated,low_clamp,0.1,net,test,
face_out,weak_water,0.6,net,test,
face_out,weak_bridge,0.1,net,test,
low_clamp,weak_water,0.3,net,test,
low_clamp,weak_bridge,0.3,net,test,
low_clamp,weak_edge,0.1,net,test,
detonation,weak_bridge,0.6,net,test,
detonation,weak_water,0.1,net,test,
detonation,weak_edge,0.03,net,test,
weak_water,gas_water,0.3,net,test,
weak_bridge,gas_next,0.3,net,test,
weak_edge,gas_out,0.3,net,test,
weak_water,water_cylinder,0.3,net,test,
gas_water,water_cylinder,0.3,net,test,
face_out,water_out,0.1,net,test,
low_clamp,water_out,0.1,net,test,
gas_water,any_water,1,net,test,
gas_next,any_next,1,net,test,
gas_out,any_out,1,net,test,
water_cylinder,any_wet,1,net,test,
any_water,joint_failed,1,net,test,
any_next,joint_failed,1,net,test,
any_out,joint_failed,1,net,test,
any_wet,joint_failed,1,net,test,
water_out,joint_failed,1,net,test,
worn,ring,0.9,net,test,
gas_water,leak,0.9|0.25,net,test,
gas_next,leak,0.97|0.9,net,test,
gas_out,leak,0.9|0.3,net,test,
valve,leak,0.95|0.6,net,test,
ring,leak,0.95|0.3,net,test,
leak,rough,0.5,net,test,
water_cylinder,rough,0.3,net,test,
any_water,hot,0.3,net,test,
thermostat,hot,0.9,net,test,
cap,hot,0.1,net,test,
any_water,loss,0.3,net,test,
any_wet,loss,0.6,net,test,
water_out,loss,0.1,net,test,
cap,loss,0.3,net,test,
overheated,told,0.6,asked,test,
any_out,ticking,0.6,net,test,
valve,ticking,0.1,net,test,
ring,smoke,0.3,net,test,
worn,smoke,0.6,net,test,
any_next,power,0.6,net,test,
valve,power,0.3,net,test,
ring,power,0.3,net,test,
any_water,bubbles,0.6,net,test,
any_water,colour,0.9|0.6,net,test,
cap,cap_test,0.9,net,test,
water_cylinder,plug,0.6,net,test,
gas_water,air_water,0.6,net,test,
gas_next,air_next,0.9,net,test,
valve,air_valve,0.9,net,test,
face_out,face,0.9,net,test,
)",
       "links.csv"},
      {"when,node,factor,basis,why\niron,face_out,0.3,test,\n!cooled,gas_water,0,test,\nnew_gasket,low_clamp,20,test,\n", "contexts.csv"},
      {"engine", "head", "cylinder", "bridge"}};
}

/// Cylinders in line under so many heads, with a bridge between neighbours under one head.
inline Layout line_of_cylinders(std::size_t cylinders, std::size_t heads = 1) {
  Layout layout;
  for (std::size_t i = 0; i < cylinders; ++i) layout.locations.push_back({"cylinder", std::to_string(i + 1), {}});
  const std::size_t under_one = cylinders / heads;
  for (std::size_t h = 0; h < heads; ++h) {
    Location head{"head", std::to_string(h + 1), {}};
    for (std::size_t i = h * under_one; i < (h + 1) * under_one; ++i) {
      head.related.push_back(i);
      if (i + 1 == (h + 1) * under_one) continue;
      head.related.push_back(layout.locations.size());
      layout.locations.push_back({"bridge", std::to_string(i + 1) + "-" + std::to_string(i + 2), {i, i + 1}});
    }
    layout.locations.push_back(head);
  }
  return layout;
}

inline InstanceNetwork sample_network(std::size_t cylinders, std::size_t heads = 1) {
  auto pattern = read_pattern(sample_texts());
  require(pattern.has_value(), "the sample pattern must be sound");
  return build(*pattern, line_of_cylinders(cylinders, heads), {"cooled"});
}

inline Observation seen(const InstanceNetwork& network, const std::string& finding, const std::string& place, std::size_t state) {
  const int instance = network.find(finding, place);
  require(instance >= 0, "no such finding in the sample");
  return {finding, place, seen_state(network.instances[static_cast<std::size_t>(instance)].states, state), finding + place, false};
}

/// A job with signs at the engine and at most cylinders.
inline std::vector<Observation> typical(const InstanceNetwork& network, std::size_t cylinders) {
  std::vector<Observation> result;
  for (const char* name : {"hot", "loss", "bubbles", "colour"}) result.push_back(seen(network, name, "", 1));
  for (const char* name : {"ticking", "smoke", "cap_test"}) result.push_back(seen(network, name, "", 0));
  for (std::size_t i = 1; i <= cylinders; ++i) {
    result.push_back(seen(network, "compression", std::to_string(i), i == 2 || i == 3 ? 2 : 0));
    result.push_back(seen(network, "air_water", std::to_string(i), i == 2 ? 1 : 0));
  }
  result.push_back(seen(network, "air_next", "2-3", 1));
  return result;
}

}  // namespace headjoint::diagnosis::testing
