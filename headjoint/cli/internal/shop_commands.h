#pragma once

#include <CLI/CLI.hpp>
#include <iosfwd>
#include <span>
#include <string>
#include <vector>

#include "headjoint/base/embedded.h"
#include "headjoint/base/result.h"
#include "headjoint/cli/doctor.h"
#include "headjoint/cli/shop_files.h"

namespace headjoint::cli::internal {

/// The commands that look after what the workbench keeps: backup, restore, doctor, export, import.
class ShopCommands {
 public:
  void add_to(CLI::App& app);

  [[nodiscard]] bool is_asked() const;
  [[nodiscard]] bool json() const { return options_.json || doctor_options_.json; }

  /// @returns an exit code, or problems of what was asked
  [[nodiscard]] Result<int> run(std::span<const EmbeddedFile> page, std::ostream& out);

 private:
  CLI::App* add(CLI::App& app, const char* name, const char* about);

  CLI::App* backup_ = nullptr;
  CLI::App* restore_ = nullptr;
  CLI::App* doctor_ = nullptr;
  CLI::App* export_ = nullptr;
  CLI::App* import_ = nullptr;
  ShopFileOptions options_;
  DoctorOptions doctor_options_;
  std::string path_;
  std::vector<std::string> words_;
  std::string folder_ = ".";
  std::string format_ = "toml";
};

}  // namespace headjoint::cli::internal
