/** What a new job must say before the server is asked. */

export interface NewJobFields {
  number: string;
  title: string;
  cylinders: string;
  layout: string;
  fuel: string;
}

const MOST_CYLINDERS = 16;

export function newJobProblems(fields: NewJobFields): { field: string; text: string }[] {
  const problems: { field: string; text: string }[] = [];
  if (fields.title.trim() === '') problems.push({ field: 'new-title', text: 'Say in one line what the owner complains of' });
  const count = /^\d+$/.test(fields.cylinders.trim()) ? Number(fields.cylinders) : 0;
  if (!(count >= 1 && count <= MOST_CYLINDERS)) {
    problems.push({ field: 'new-cylinders', text: `Type the number of cylinders, 1 to ${MOST_CYLINDERS}` });
  } else if (fields.layout === 'single' && count !== 1) {
    problems.push({ field: 'new-cylinders', text: 'A single has 1 cylinder: change the number or the layout' });
  }
  return problems;
}
