import { mount } from 'svelte';
import App from './App.svelte';
import './lib/fonts.css';
import './lib/tokens.css';
import './lib/page.css';

mount(App, { target: document.getElementById('page')! });
