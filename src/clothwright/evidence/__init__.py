"""evidence"""
