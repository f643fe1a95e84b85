#pragma once

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>

#include <string>

/// The database file: how it is opened, what is in it, and its failures in words.
namespace headjoint::store::internal {

/// Opens the file for writing, making it when it is not there, and checks that it is ours, sound and not newer than this program.
/// @throws EnvironmentError, SQLite::Exception
[[nodiscard]] SQLite::Database open_base(const std::string& path);

/// A further connection to an opened file, for questions only.
[[nodiscard]] SQLite::Database open_reader(const std::string& path);

/// Brings the schema up to date, each step in a transaction of its own. @param now for the table of steps, as text
void migrate(SQLite::Database& base, const std::string& now);

/// The failure as an EnvironmentError that names the file.
[[noreturn]] void throw_in_words(const std::string& path, const SQLite::Exception& failure);

}  // namespace headjoint::store::internal
