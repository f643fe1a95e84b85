import { mount } from 'svelte';
import App from './App.svelte';
import { chosen } from './state/chosen.svelte';
import './style/tokens.css';
import './style/page.css';
import './style/title.css';
import './style/job.css';
import './style/finding.css';
import './style/plan.css';
import './style/work.css';
import './style/lattice.css';
import './style/shop.css';
import './style/over.css';
import './style/windows.css';
import './style/glove.css';

chosen.apply();
const target = document.getElementById('page');
if (target) mount(App, { target });
