#!/bin/sh
# Writes the sound files that the reader is checked against, and what sox itself reads from them (time, value a line).
# Needs sox (Debian package sox 14.4.2).
set -e
cd "$(dirname "$0")"
make() { # name, channels and encoding options
  name=$1; shift
  sox -R -n -r 8000 "$@" "$name.wav" synth 0.0125 sine 440 sine 700 gain -3
  sox "$name.wav" "$name.dat"
}
make sox_u8 -c 2 -b 8 -e unsigned-integer
make sox_s16 -c 2 -b 16
make sox_s24 -c 2 -b 24
make sox_s32 -c 2 -b 32
make sox_f32 -c 2 -b 32 -e floating-point
make sox_f64 -c 2 -b 64 -e floating-point
