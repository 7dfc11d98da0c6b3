"""The list to begin with is of what is there."""

from leafgill.advise.care import starters
from leafgill.tank.spec import Rig, Tank


def test_the_list_to_begin_with_is_of_what_is_there():
    def whats(source, probe):
        tank = Tank("Den", 60.0, rig=Rig(source=source))
        return {starter.what for starter in starters(tank, probe)}

    assert "Weigh the cylinder" in whats("cylinder", False)
    assert "Weigh the cylinder" not in whats("cartridge", False)
    assert "Leak test with soapy water" not in whats("yeast", False)
    assert "Calibrate the electrode" in whats("yeast", True)
    assert "Calibrate the electrode" not in whats("cylinder", False)
    assert all(starter.every_days > 0 for starter in starters(Tank("Den", 60.0), True))
