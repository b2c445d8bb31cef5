/** The solver of linear programs, HiGHS in WebAssembly, behind the type the rest of the room asks for. */
import type { Program, Solve, Solved } from './program.ts';

/** Branches looked into before a program with whole numbers is given up: a count, so that every run ends alike. */
const MOST_BRANCHES = 200_000;

/** Loads the solver from the bytes of its module. Nothing is fetched and nothing is read. */
export async function loadSolver(wasm: Uint8Array): Promise<Solve> {
  const { default: load } = await import('highs');
  const highs = await load({ wasmBinary: wasm });
  const { modelStatus, variableType } = highs.constants;
  return (program: Program): Solved => {
    const starts = [0];
    const indices: number[] = [];
    const values: number[] = [];
    for (const { terms } of program.rows) {
      for (const [column, coefficient] of terms) {
        indices.push(column);
        values.push(coefficient);
      }
      starts.push(indices.length);
    }
    const whole = program.columns.some((column) => column.whole);
    return highs.withModel(
      {
        numCols: program.columns.length,
        numRows: program.rows.length,
        colCost: program.columns.map(({ cost }) => cost),
        colLower: program.columns.map(({ low }) => low),
        colUpper: program.columns.map(({ high }) => high),
        rowLower: program.rows.map(({ low }) => low),
        rowUpper: program.rows.map(({ high }) => high),
        matrix: {
          format: 'csr',
          numRows: program.rows.length,
          numCols: program.columns.length,
          starts,
          indices,
          values,
        },
        ...(whole
          ? {
              integrality: program.columns.map((column) =>
                column.whole ? variableType.integer : variableType.continuous,
              ),
            }
          : {}),
      },
      (model): Solved => {
        model.options.set({ output_flag: false, mip_rel_gap: 0, mip_abs_gap: 1e-6, mip_max_nodes: MOST_BRANCHES });
        model.run();
        switch (model.getModelStatus()) {
          case modelStatus.optimal:
            return {
              status: 'solved',
              values: [...model.getSolution().colValue],
              cost: model.getObjectiveValue(),
            };
          case modelStatus.infeasible:
          case modelStatus.unboundedOrInfeasible:
            return { status: 'impossible' };
          case modelStatus.unbounded:
            return { status: 'endless' };
          default:
            return { status: 'unsolved', why: 'the solver gave up: ask for less at once' };
        }
      },
    );
  };
}
