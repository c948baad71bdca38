"""The building into STEP, STL and GLB."""
