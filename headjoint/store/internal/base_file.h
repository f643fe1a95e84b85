#pragma once

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>

#include <string>
#include <vector>

/// The database file: how it is opened, what is in it, and its failures in words.
namespace headjoint::store::internal {

/// @throws EnvironmentError kConfiguration on a network file system, kNoSuchFile without the folder
void refuse_network_file_system(const std::string& path);

/// Opens the file for writing, making it when it is not there, and checks that it is ours, sound and not newer than this program.
/// @throws EnvironmentError, SQLite::Exception
[[nodiscard]] SQLite::Database open_base(const std::string& path);

/// A further connection to an opened file, for questions only.
[[nodiscard]] SQLite::Database open_reader(const std::string& path);

/// A file that is only looked at: nothing beside it is made or changed unless its log has to be read.
/// @throws EnvironmentError when it is not ours or newer than this program; SQLite::Exception
[[nodiscard]] SQLite::Database open_to_check(const std::string& path);

/// Schema of the file; 0 when it is fresh.
[[nodiscard]] int schema_of(SQLite::Database& base);

/// Brings the schema up to date, each step in a transaction of its own; an older file is copied beside itself first.
/// @param now for the table of steps, as text
void migrate(SQLite::Database& base, const std::string& path, const std::string& now);

/// Writes a copy of one moment, checks it, and gives it its name: the whole copy or none.
/// @throws EnvironmentError when `path` is there already or the copy is not sound; SQLite::Exception
void copy_base(SQLite::Database& base, const std::string& path);

/// What the database finds wrong with itself and with references between rows.
[[nodiscard]] std::vector<std::string> faults_of(SQLite::Database& base);

/// The failure as an EnvironmentError that names the file.
[[noreturn]] void throw_in_words(const std::string& path, const SQLite::Exception& failure);

}  // namespace headjoint::store::internal
