"""Speaks with the simulated meter by a general instrument-control library.

Arguments: the resource. Prints every exchange; the test compares them.
"""
import sys

import pyvisa

meter = pyvisa.ResourceManager("@py").open_resource(
    sys.argv[1], read_termination="\n", write_termination="\n", timeout=20000
)


def ask(question):
    print(">", question)
    print("<", meter.query(question))


def tell(command):
    print(">", command)
    meter.write(command)


ask("*IDN?")
ask("*TST?")
tell("*CLS")
tell("*ESE 32")
tell("*SRE 32")
tell("NO:SUCH:COMMAND")
ask("*STB?")  # error queue 4, event summary 32, master summary 64
ask("*ESR?")  # command error, bit 5
ask("SYST:ERR?")
ask("SYST:ERR?")
ask("SYST:VERS?")
tell("CONF:FRES 100")
tell("SENS:FRES:NPLC 1")
ask("SENS:FRES:NPLC?")
ask("CONF?")
ask("READ?")  # lifted: overload, 9.9E37
tell("SIM:PROBE 0.0187,b")
tell("INIT")
tell("*OPC")
ask("*OPC?")
ask("*ESR?")
ask("FETC?")
tell("SAMP:COUN 3")
print("values", meter.query_ascii_values("READ?"))
tell("SIM:PROBE -500,b")
tell("SAMP:COUN 1")
ask("READ?")  # negative overload, -9.9E37
ask("SYST:ERR?")
