#include "headjoint/cli/internal/shop_commands.h"

namespace headjoint::cli::internal {

CLI::App* ShopCommands::add(CLI::App& app, const char* name, const char* about) {
  CLI::App* command = app.add_subcommand(name, about);
  command->add_option("--data", options_.data_folder, "folder of the jobs; default: headjoint in the user's data folder")
      ->type_name("FOLDER");
  command->add_flag("--json", options_.json, "one JSON object with schema_version");
  return command;
}

void ShopCommands::add_to(CLI::App& app) {
  backup_ = add(app, "backup", "a copy of everything the workbench keeps, in one file");
  backup_->add_option("FILE", path_, "the copy, or a folder for it")->required();
  restore_ = add(app, "restore", "a copy in the place of everything; what was there is kept beside it");
  restore_->add_option("FILE", path_, "a copy that backup made")->required();
  doctor_ = add(app, "doctor", "looks over program, page, folder, store, disk, clock and port, and says how to mend what is wrong");
  doctor_->add_option("--port", doctor_options_.port, "of the workbench")->check(CLI::Range(1, 65535))->capture_default_str();
  export_ = add(app, "export", "kept jobs and engines as files");
  export_->add_option("WHAT", words_, "ids, job numbers, names of engines, or all")->required();
  export_->add_option("-o,--output", folder_, "folder for the files, made when missing; - writes a single one here")->capture_default_str();
  export_->add_option("--format", format_, "toml or json")->check(CLI::IsMember({"toml", "json"}))->capture_default_str();
  import_ = add(app, "import", "job and engine files into the workbench");
  import_->add_option("FILE", words_, "TOML or JSON files")->required();
}

bool ShopCommands::is_asked() const {
  return backup_->parsed() || restore_->parsed() || doctor_->parsed() || export_->parsed() || import_->parsed();
}

Result<int> ShopCommands::run(std::span<const EmbeddedFile> page, std::ostream& out) {
  if (backup_->parsed()) return backup(path_, options_, out);
  if (restore_->parsed()) return restore(path_, options_, out);
  if (export_->parsed()) return export_files(words_, folder_, format_, options_, out);
  if (import_->parsed()) return import_files(words_, options_, out);
  doctor_options_.data_folder = options_.data_folder;
  doctor_options_.json = options_.json;
  return doctor(doctor_options_, page, out);
}

}  // namespace headjoint::cli::internal
