#include <iostream>

#include "headjoint/cli/command_line.h"

extern const headjoint::EmbeddedFile headjoint_embedded_page[];
extern const std::size_t headjoint_embedded_page_count;

int main(int count, char** words) {
  std::ios::sync_with_stdio(false);
  return headjoint::cli::run({words + 1, words + count}, {headjoint_embedded_page, headjoint_embedded_page_count}, std::cout, std::cerr);
}
