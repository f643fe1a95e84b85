import { mount } from 'svelte';
import App from './App.svelte';
import './style/tokens.css';
import './style/page.css';
import './style/job.css';
import './style/plan.css';

const target = document.getElementById('page');
if (target) mount(App, { target });
