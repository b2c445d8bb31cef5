/** Laid into the program before it starts: folders are listed the other way round, as another disk might list them. */
import fs from 'node:fs';
import promises from 'node:fs/promises';
import { syncBuiltinESMExports } from 'node:module';

const { readdirSync } = fs;
const { readdir } = promises;
fs.readdirSync = (...args) => readdirSync(...args).reverse();
promises.readdir = async (...args) => (await readdir(...args)).reverse();
syncBuiltinESMExports();
