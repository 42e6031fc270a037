"""Streamlit pages and their pictures: the only place that imports streamlit."""
