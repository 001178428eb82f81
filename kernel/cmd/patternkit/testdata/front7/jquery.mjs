// jQuery UI, which the sliders are made of, takes jQuery from the page.
export { default as jQuery } from 'jquery';
