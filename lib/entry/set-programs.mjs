// Plain Node, for `--import`: the compiled programs are there, and this process and its children know where.
import { compilePrograms } from './compile-programs.mjs'

process.env.TANKROUND_PROGRAMS ??= await compilePrograms()
