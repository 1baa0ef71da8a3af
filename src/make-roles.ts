import { makeRolesFromEnvironment } from './store/roles-command.ts';

const refusal = await makeRolesFromEnvironment(process.env);
if (refusal !== null) {
  console.error(refusal);
  process.exitCode = 1;
}
