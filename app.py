"""The web app: `streamlit run app.py`, or `cuffbias app`."""

from sim.screens.entry import main

if __name__ == "__main__":
    main()
